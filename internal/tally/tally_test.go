package main

import (
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// tallied runs go test -json on a module of the given files, and tells its tally beside that of checks.
func tallied(t *testing.T, checks string, files map[string]string) (closing, all string, status int) {
	t.Helper()
	dir := t.TempDir()
	files["go.mod"] = "module sample\n\ngo 1.26.0\n"
	for name, text := range files {
		file := filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	c := exec.CommandContext(t.Context(), "go", "test", "-json", "-vet=off", "./...")
	c.Dir = dir
	stream, _ := c.Output() // a failed test is what some of the samples are about
	var b strings.Builder
	in := []io.Reader{strings.NewReader(string(stream))}
	if checks != "" {
		in = append(in, strings.NewReader(checks))
	}
	status = run(&b, in...)
	lines := strings.Split(strings.TrimSpace(b.String()), "\n")
	return lines[len(lines)-1], b.String(), status
}

const head = "package a\n\nimport \"testing\"\n\n"

func TestClosingLine(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	for name, c := range map[string]struct {
		files   map[string]string
		checks  string
		closing string
		status  int
		shows   []string
	}{
		"parts are counted, what gathers them is not": {
			files: map[string]string{"a/a_test.go": head + `func TestOne(t *testing.T) {}
func TestParts(t *testing.T) { for _, n := range []string{"x", "y", "z"} { t.Run(n, func(t *testing.T) { t.Log("quiet") }) } }`},
			closing: "4 passed, 0 failed", status: 0, shows: []string{"ok  \tsample/a"},
		},
		"checks before the tests count too": {
			files:  map[string]string{"a/a_test.go": head + `func TestOne(t *testing.T) {}`},
			checks: "check: lint=ok\nmake build: no room\ncheck: build=failed\n", closing: "2 passed, 1 failed", status: 1, shows: []string{"ok  \tlint", "make build: no room", "FAIL\tbuild"},
		},
		"a failed part counts once and is shown": {
			files: map[string]string{"a/a_test.go": head + `func TestParts(t *testing.T) {
t.Run("x", func(t *testing.T) { t.Error("number taken") }); t.Run("y", func(t *testing.T) {}) }
func TestSkipped(t *testing.T) { t.Skip("no browser here") }`},
			closing: "1 passed, 1 failed, 1 skipped", status: 1, shows: []string{"number taken", "FAIL\tsample/a", "skipped: sample/a TestSkipped: a_test.go:7: no browser here"},
		},
		"what gathers passed parts may itself fail": {
			files: map[string]string{"a/a_test.go": head + `func TestParts(t *testing.T) {
t.Run("x", func(t *testing.T) { t.Run("deep", func(t *testing.T) { t.Error("bad") }) }) }
func TestMore(t *testing.T) { t.Run("x", func(t *testing.T) {}); t.Error("the sum is wrong") }`},
			closing: "1 passed, 2 failed", status: 1, shows: []string{"the sum is wrong"},
		},
		"a panic counts as failed": {
			files:   map[string]string{"a/a_test.go": head + `func TestOne(t *testing.T) {}` + "\n" + `func TestTwo(t *testing.T) { panic("ouch") }`},
			closing: "1 passed, 1 failed", status: 1, shows: []string{"ouch"},
		},
		"a test that ends the process counts as failed": {
			files:   map[string]string{"a/a_test.go": "package a\nimport (\"os\"; \"testing\")\nfunc TestOne(t *testing.T) { os.Exit(3) }"},
			closing: "0 passed, 1 failed", status: 1,
		},
		"a package that does not build counts as failed": {
			files: map[string]string{
				"a/a_test.go": head + `func TestOne(t *testing.T) { nonsense() }`,
				"b/b_test.go": "package b\n\nimport \"testing\"\n\nfunc TestOne(t *testing.T) {}",
			},
			closing: "1 passed, 1 failed", status: 1, shows: []string{"undefined: nonsense", "ok  \tsample/b"},
		},
		"no test at all is a failure": {
			files:  map[string]string{"a/a.go": "package a"},
			checks: "check: lint=ok\n", closing: "1 passed, 2 failed", status: 1, shows: []string{"no test was run", "a stream of tests brought none"},
		},
	} {
		t.Run(name, func(t *testing.T) {
			closing, all, status := tallied(t, c.checks, c.files)
			if closing != c.closing || status != c.status {
				t.Errorf("got %q with status %d, want %q with %d, in:\n%s", closing, status, c.closing, c.status, all)
			}
			for _, s := range c.shows {
				if !strings.Contains(all, s) {
					t.Errorf("%q is missing in:\n%s", s, all)
				}
			}
		})
	}
}

func TestStreamCutShortIsAFailure(t *testing.T) {
	var b strings.Builder
	stream := `{"Action":"start","Package":"p"}
{"Action":"run","Package":"p","Test":"TestA"}
{"Action":"pass","Package":"p","Test":"TestA"}
{"Action":"run","Package":"p","Test":"TestB"}
`
	if status := run(&b, strings.NewReader(stream)); status != 1 || !strings.HasSuffix(b.String(), "\n1 passed, 1 failed\n") {
		t.Errorf("status %d:\n%s", status, b.String())
	}
	if status := run(&b, strings.NewReader("check: lint\n"), strings.NewReader(stream)); status != 1 || !strings.Contains(b.String(), "neither NAME=ok") {
		t.Errorf("an unknown check gave status %d", status)
	}
}

// The same tests in two streams, as with the race detector and without: each ends for itself, and one that never began is noticed.
func TestStreamsSideBySide(t *testing.T) {
	begun := `{"Action":"run","Package":"p","Test":"TestA"}
`
	ended := `{"Action":"pass","Package":"p","Test":"TestA"}
{"Action":"pass","Package":"p"}
`
	for _, c := range []struct {
		in      []io.Reader
		closing string
	}{
		{[]io.Reader{strings.NewReader(begun + ended), strings.NewReader(begun + ended)}, "2 passed, 0 failed"},
		{[]io.Reader{strings.NewReader(begun + ended), strings.NewReader(begun)}, "1 passed, 1 failed"},
		{[]io.Reader{strings.NewReader(begun + ended), strings.NewReader("")}, "1 passed, 1 failed"},
	} {
		var b strings.Builder
		status := run(&b, c.in...)
		if !strings.HasSuffix(b.String(), "\n"+c.closing+"\n") && b.String() != c.closing+"\n" || status != strings.Count(c.closing, "1 failed") {
			t.Errorf("status %d, want %s:\n%s", status, c.closing, b.String())
		}
	}
}
