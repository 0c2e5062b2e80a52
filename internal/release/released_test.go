package main

import (
	"bytes"
	"debug/buildinfo"
	"encoding/json"
	"flag"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"
)

var released = flag.Bool("released", false, "build every archive twice, compare, and run what this machine can run, also under emulation")

// TestReleased is what make release-test runs.
func TestReleased(t *testing.T) {
	if !*released {
		t.Skip("make release-test builds the archives; it takes minutes")
	}
	t.Chdir("../..")
	out, again := "dist", t.TempDir()
	if err := os.RemoveAll(out); err != nil {
		t.Fatal(err)
	}
	for _, folder := range []string{out, again} {
		if err := release(folder, ""); err != nil {
			t.Fatal(err)
		}
	}
	if a, b := read(t, out, "SHA256SUMS"), read(t, again, "SHA256SUMS"); !bytes.Equal(a, b) {
		t.Errorf("built twice, the bytes differ:\n%s\n%s", a, b)
	}
	check := exec.Command("sha256sum", "-c", "SHA256SUMS")
	check.Dir = out
	if said, err := check.CombinedOutput(); err != nil {
		t.Errorf("sha256sum: %v\n%s", err, said)
	}
	found, err := filepath.Glob(filepath.Join(out, "solander-*"))
	if err != nil || len(found) != len(targets) {
		t.Fatalf("there are %v, %v", found, err)
	}
	for _, sys := range targets {
		t.Run(sys.String(), func(t *testing.T) { sys.holds(t, out) })
	}
}

func read(t *testing.T, parts ...string) []byte {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(parts...))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// mostBytes is how large an archive may be.
const mostBytes = 25_000_000

// holds unpacks an archive by the system's own programs, looks over what is in it, and runs its program where that can be done here.
func (sys target) holds(t *testing.T, out string) {
	found, err := filepath.Glob(filepath.Join(out, "solander-*-"+sys.named()+sys.tail()))
	if err != nil || len(found) != 1 {
		t.Fatalf("there are %v, %v", found, err)
	}
	if info, err := os.Stat(found[0]); err != nil || info.Size() > mostBytes {
		t.Errorf("%s has %d bytes, at most %d; %v", found[0], info.Size(), mostBytes, err)
	}
	dir := t.TempDir()
	unpack := exec.Command("tar", "-xzf", found[0], "-C", dir)
	if sys.tail() == ".zip" {
		unpack = exec.Command("unzip", "-q", found[0], "-d", dir)
	}
	if said, err := unpack.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, said)
	}
	inside, err := filepath.Glob(filepath.Join(dir, "solander-*"))
	if err != nil || len(inside) != 1 {
		t.Fatalf("it unpacks to %v, %v", inside, err)
	}
	dir = inside[0]
	program := filepath.Join(dir, sys.program(nil, "")[len(sys.program(nil, ""))-1].name)
	if sys.system == "linux" {
		program = filepath.Join(dir, "solander")
	}
	if info, err := os.Stat(program); err != nil || info.Mode().Perm()&0o111 == 0 {
		t.Fatalf("%s does not run: %v", program, err)
	}
	sys.billed(t, dir, program)
	sys.runs(t, program)
}

// billed compares the bill of materials with what the Go tool reads out of the program, part by part.
func (sys target) billed(t *testing.T, dir, program string) {
	var bill struct {
		Format     string `json:"bomFormat"`
		Spec       string `json:"specVersion"`
		Components []struct{ Name, Version, PURL string }
	}
	if err := json.Unmarshal(read(t, dir, "bill-of-materials.cdx.json"), &bill); err != nil {
		t.Fatal(err)
	}
	info, err := buildinfo.ReadFile(program)
	if err != nil {
		t.Fatal(err)
	}
	if bill.Format != "CycloneDX" || bill.Spec != "1.6" || len(info.Deps) == 0 {
		t.Errorf("the bill is %s %s, the program has %d parts", bill.Format, bill.Spec, len(info.Deps))
	}
	for _, m := range info.Deps {
		if !slices.ContainsFunc(bill.Components, func(c struct{ Name, Version, PURL string }) bool { return c.Name == m.Path && c.Version == m.Version }) {
			t.Errorf("the bill lacks %s %s", m.Path, m.Version)
		}
		if held, err := filepath.Glob(filepath.Join(dir, "licences", m.Path, "*")); err != nil || len(held) == 0 {
			t.Errorf("the licence of %s is not there", m.Path)
		}
	}
}

// by is what runs programs of a target on this machine.
func (sys target) by(t *testing.T) []string {
	switch {
	case sys.system == runtime.GOOS && sys.processor == runtime.GOARCH:
		return nil
	case sys == target{"linux", "arm64"}:
		return []string{"qemu-aarch64"}
	case sys == target{"windows", "amd64"}:
		if _, err := exec.LookPath("wine64"); err != nil {
			t.Skip("built, and not run: there is no Wine here")
		}
		return []string{"wine64"}
	}
	t.Skip("built, and not run: nothing here runs such a program")
	return nil
}

// runs sets a studio up, sells, copies the studio and restores the copy, and finds the sale there.
func (sys target) runs(t *testing.T, program string) {
	by := sys.by(t)
	work := t.TempDir()
	for name, from := range map[string]string{"studio.json": "cli/testdata/studio.json"} {
		if err := os.WriteFile(filepath.Join(work, name), read(t, from), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	run := func(place string, args ...string) string {
		t.Helper()
		words := append(append(slices.Clone(by), program), args...)
		cmd := exec.Command(words[0], words[1:]...)
		cmd.Dir = work
		cmd.Env = append(os.Environ(), "SOLANDER_STORE="+place, "WINEDEBUG=-all", "WINEPREFIX="+filepath.Join(work, "wine"))
		var out, errs strings.Builder
		cmd.Stdout, cmd.Stderr = &out, &errs
		if err := cmd.Run(); err != nil {
			t.Fatalf("%v: %v\n%s%s", args, err, out.String(), errs.String())
		}
		return out.String()
	}
	run("first.db", "set-up", "--file", "studio.json")
	run("first.db", "sale", "--outlet", "own", "--ref", "W-77", "--buyer", "Ines Halloran", "--email", "ines@example.org", "--print", "heron",
		"--line1", "8 Quince Lane", "--city", "Pinfold", "--region", "PA", "--postcode", "19103", "--paid", "120")
	run("first.db", "backup", "studio.copy")
	run("second.db", "restore", "studio.copy")
	for _, place := range []string{"first.db", "second.db"} {
		if said := run(place, "check"); !strings.Contains(said, "sound") {
			t.Errorf("%s: check says %s", place, said)
		}
	}
	if a, b := run("first.db", "orders", "--json"), run("second.db", "orders", "--json"); a != b || !strings.Contains(a, "Ines Halloran") {
		t.Errorf("the copy holds other orders:\n%s\n%s", a, b)
	}
}
