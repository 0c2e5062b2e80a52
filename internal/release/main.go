// Command release builds the archives that a person unpacks and double-clicks: the program for Windows, macOS and Linux on amd64 and
// arm64, each with a page of the first five minutes, the licences of all that is in it, and a bill of materials (CycloneDX 1.6), and a
// list of checksums. The same source at the same commit with the same Go gives the same bytes.
//
//	go run ./internal/release -out dist
package main

import (
	"cmp"
	"crypto/sha256"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// target is a kind of machine, in the words of Go.
type target struct{ system, processor string }

func (t target) String() string { return t.system + "-" + t.processor }

var targets = []target{
	{"linux", "amd64"},
	{"linux", "arm64"},
	{"darwin", "amd64"},
	{"darwin", "arm64"},
	{"windows", "amd64"},
	{"windows", "arm64"},
}

func main() {
	out := flag.String("out", "dist", "the folder for the archives")
	only := flag.String("only", "", "one target alone, such as linux-arm64")
	flag.Parse()
	if err := release(*out, *only); err != nil {
		fmt.Fprintln(os.Stderr, "release:", err)
		os.Exit(1)
	}
}

// release builds every target, or the one that is named, and writes SHA256SUMS over what it made.
func release(out, only string) error {
	from, err := commit()
	if err != nil {
		return err
	}
	if err := os.MkdirAll(out, 0o755); err != nil {
		return err
	}
	scratch, err := os.MkdirTemp("", "release")
	if err != nil {
		return err
	}
	defer os.RemoveAll(scratch)
	var sums []string
	for _, t := range targets {
		if only != "" && only != t.String() {
			continue
		}
		path, err := t.make(scratch, out, from)
		if err != nil {
			return fmt.Errorf("%s: %w", t, err)
		}
		sum, size, err := sumOf(path)
		if err != nil {
			return err
		}
		sums = append(sums, sum+"  "+filepath.Base(path))
		fmt.Printf("%s  %.1f MB\n", filepath.Base(path), float64(size)/1e6)
	}
	if len(sums) == 0 {
		return fmt.Errorf("there is no target %q", only)
	}
	return os.WriteFile(filepath.Join(out, "SHA256SUMS"), []byte(strings.Join(sums, "\n")+"\n"), 0o644)
}

// make builds one archive and returns its path.
func (t target) make(scratch, out string, from source) (string, error) {
	name := "solander"
	if t.system == "windows" {
		name += ".exe"
	}
	program := filepath.Join(scratch, t.String(), name)
	if err := t.build(program, from); err != nil {
		return "", err
	}
	parts, err := modules(program)
	if err != nil {
		return "", err
	}
	held, err := licences(parts)
	if err != nil {
		return "", err
	}
	bill, err := billOfMaterials(program, from)
	if err != nil {
		return "", err
	}
	whole, err := os.ReadFile(program)
	if err != nil {
		return "", err
	}
	files := append(held, file{"bill-of-materials.cdx.json", bill, false}, file{"first-five-minutes.html", firstPage(t, from.version), false})
	own, err := t.program(whole, from.version)
	if err != nil {
		return "", err
	}
	files = append(files, own...)
	folder := "solander-" + from.version
	for i := range files {
		files[i].name = folder + "/" + files[i].name
	}
	slices.SortFunc(files, func(a, b file) int { return cmp.Compare(a.name, b.name) })
	path := filepath.Join(out, folder+"-"+t.named()+t.tail())
	return path, t.write(path, files, from.when)
}

// named is a target in the words of those who choose a file.
func (t target) named() string {
	if t.system == "darwin" {
		return "macos-" + t.processor
	}
	return t.String()
}

// build builds the program without cgo and without the paths of this machine. What it says of its source is told to the linker: what the
// Go tool finds out of it by itself depends on the kind of folder in which the source lies.
func (t target) build(program string, from source) error {
	told := fmt.Sprintf("-s -w -X 'solander/internal/wiring.released=%s %s %s'", from.version, from.commit, from.when.Format(time.RFC3339))
	args := []string{"build", "-trimpath", "-buildvcs=false", "-ldflags=" + told}
	for _, flags := range inlined() {
		args = append(args, "-gcflags="+flags)
	}
	cmd := exec.Command("go", append(args, "-o", program, "./cmd/solander")...)
	cmd.Env = append(os.Environ(), "CGO_ENABLED=0", "GOOS="+t.system, "GOARCH="+t.processor, "GOFLAGS=", "GOAMD64=v1", "GOARM64=v8.0")
	_, err := output(cmd)
	return err
}

// inlined are the compiler's flags by package, of which the last that fits holds. To copy small functions into their callers makes the
// archives larger, and pays where the program computes: there it is done as always, in the standard library too, as far as it is asked at every row, page or
// search. The rest is called as it is written, which takes a few in a hundred more of the processor for a bench of a thousand orders, and makes the archives a tenth smaller.
func inlined() []string {
	flags := []string{"all=-l"}
	for _, hot := range []string{
		"runtime/...", "internal/...", "sync/...", "sort", "slices", "maps", "iter", "cmp", "unique", "context", "errors",
		"strings", "bytes", "strconv", "unicode/...", "fmt", "time", "reflect", "io", "bufio", "math", "math/bits", "math/rand/...", "hash/...",
		"encoding/json", "encoding/binary", "database/sql",
		"text/template", "html/template", "crypto/internal/...", "crypto/subtle",
		"modernc.org/...", "solander/packing/...", "solander/dayplan/...", "solander/measure", "solander/money", "solander/calendar", "solander/tariff/...",
		"solander/store/table", "solander/store/sqlite", "solander/store/postgres", "solander/store/engine", "solander/store/digests", "solander/store/words", "solander/store/numbers",
		"solander/store/orders",
	} {
		flags = append(flags, hot+"=")
	}
	return flags
}

// source is what is built: the commit, by which name, and when it was made, which is the time that the archives bear.
type source struct {
	version, commit string
	when            time.Time
}

func commit() (s source, err error) {
	b, err := output(exec.Command("git", "describe", "--tags", "--always", "--dirty", "--abbrev=12"))
	if err != nil {
		return s, err
	}
	s.version = strings.TrimPrefix(strings.TrimSpace(string(b)), "v")
	if b, err = output(exec.Command("git", "log", "-1", "--format=%H %ct")); err != nil {
		return s, err
	}
	var seconds int64
	_, err = fmt.Sscan(string(b), &s.commit, &seconds)
	s.when = time.Unix(seconds, 0).UTC()
	return s, err
}

// output runs a command and says what it said when it fails.
func output(cmd *exec.Cmd) ([]byte, error) {
	b, err := cmd.Output()
	var failed *exec.ExitError
	if errors.As(err, &failed) {
		err = fmt.Errorf("%s: %w: %s", strings.Join(cmd.Args, " "), err, failed.Stderr)
	}
	return b, err
}

func sumOf(path string) (sum string, size int64, err error) {
	f, err := os.Open(path)
	if err != nil {
		return "", 0, err
	}
	defer f.Close()
	h := sha256.New()
	size, err = io.Copy(h, f)
	return fmt.Sprintf("%x", h.Sum(nil)), size, err
}
