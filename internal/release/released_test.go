package main

import (
	"bytes"
	"flag"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

var released = flag.Bool("released", false, "build every archive twice, compare, and run what this machine can run, also under emulation")

// TestReleased is what make release-test runs: it builds the archives in this folder and, from a clone, in another one.
func TestReleased(t *testing.T) {
	if !*released {
		t.Skip("make release-test builds the archives; it takes minutes")
	}
	t.Chdir("../..")
	if left, err := output(exec.Command("git", "status", "--porcelain")); err != nil || len(left) > 0 {
		t.Fatalf("what is released is a commit: commit this first\n%s%v", left, err)
	}
	const out = "dist"
	if err := os.RemoveAll(out); err != nil {
		t.Fatal(err)
	}
	if err := release(out, ""); err != nil {
		t.Fatal(err)
	}
	again := filepath.Join(t.TempDir(), "another folder")
	if _, err := output(exec.Command("git", "clone", "--quiet", "--no-hardlinks", ".", again)); err != nil {
		t.Fatal(err)
	}
	built := exec.Command("go", "run", "./internal/release", "-out", out)
	built.Dir = again
	if _, err := output(built); err != nil {
		t.Fatal(err)
	}
	if a, b := read(t, out, "SHA256SUMS"), read(t, again, out, "SHA256SUMS"); !bytes.Equal(a, b) {
		t.Errorf("built in two folders, the bytes differ:\n%s\n%s", a, b)
	}
	check := exec.Command("sha256sum", "--check", "--strict", "SHA256SUMS")
	check.Dir = out
	if said, err := check.CombinedOutput(); err != nil || bytes.Count(said, []byte(": OK\n")) != len(targets) {
		t.Errorf("sha256sum: %v\n%s", err, said)
	}
	found, err := filepath.Glob(filepath.Join(out, "solander-*"))
	if err != nil || len(found) != len(targets) {
		t.Fatalf("there are %v, %v", found, err)
	}
	for _, sys := range targets {
		t.Run(sys.String(), func(t *testing.T) { sys.holds(t, out) })
	}
	for _, system := range []string{"windows", "darwin"} {
		t.Run("vet for "+system, func(t *testing.T) {
			vet := exec.Command("go", "vet", "-trimpath", "./...") // built as the program was
			vet.Env = append(os.Environ(), "GOOS="+system)
			if said, err := vet.CombinedOutput(); err != nil {
				t.Errorf("%v\n%s", err, said)
			}
		})
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

// inside is where the program lies in its archive.
func (sys target) inside() string {
	return map[string]string{"linux": "solander", "windows": "solander.exe", "darwin": "Solander.app/Contents/MacOS/solander"}[sys.system]
}

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
	program := filepath.Join(dir, filepath.FromSlash(sys.inside()))
	if info, err := os.Stat(program); err != nil || info.Mode().Perm()&0o111 == 0 {
		t.Fatalf("%s does not run: %v", program, err)
	}
	sys.billed(t, dir, program)
	if sys == (target{"darwin", "arm64"}) {
		signed(t, program)
	}
	t.Run("runs", func(t *testing.T) { sys.runs(t, program) })
	if sys == (target{"linux", "amd64"}) {
		t.Run("in a container", func(t *testing.T) { contained(t, dir) })
	}
}
