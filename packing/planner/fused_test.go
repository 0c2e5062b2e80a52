package planner_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// fused are the instructions of arm64 that round a product and a sum once instead of twice.
var fused = regexp.MustCompile(`(?m)^.*\tFN?M(?:ADD|SUB)[SD]\t.*$`)

// assembly is what packages compile to for arm64.
func assembly(t *testing.T, dir string, packages ...string) string {
	t.Helper()
	cmd := exec.CommandContext(t.Context(), "go", append([]string{"build", "-gcflags=-S"}, packages...)...)
	cmd.Dir, cmd.Env = dir, append(os.Environ(), "GOOS=linux", "GOARCH=arm64", "CGO_ENABLED=0")
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %.2000s", err, out)
	}
	return string(out)
}

// A plan is the same, byte for byte, on every processor. "An implementation may combine multiple floating-point
// operations into a single fused operation, possibly across statements, and produce a result that differs from the value
// obtained by executing and rounding the instructions individually. An explicit floating-point type conversion rounds
// to the precision of the target type, preventing fusion that would discard that rounding." Source: the Go programming
// language specification, "Floating-point operators", from memory. So no room below packing may compile to such an
// operation where the processor has them.
func TestNothingIsFused(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	one := t.TempDir()
	for name, text := range map[string]string{"go.mod": "module one\n", "one.go": "package one\n\nfunc F(x, y, z float64) float64 { return x*y + z }\n"} {
		if err := os.WriteFile(filepath.Join(one, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if !fused.MatchString(assembly(t, one, ".")) {
		t.Fatal("x*y + z is not fused, or not seen to be: nothing can be found this way")
	}
	text := assembly(t, "../..", "./packing/...")
	for _, room := range []string{"prices", "cutting", "layout", "check", "planner", "planner/longorder", "planner/parcel"} {
		if !strings.Contains(text, "# solander/packing/"+room+"\n") {
			t.Errorf("packing/%s was not looked at", room)
		}
	}
	for _, at := range fused.FindAllString(text, -1) {
		t.Errorf("a product is fused with a sum: %s", at)
	}
}
