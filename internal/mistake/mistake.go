// Package mistake makes typical mistakes in the source for tests that see whether other tests find them. It is for tests alone.
package mistake

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// Mistake is a text in a file, below the module's root, that is replaced once.
type Mistake = struct{ Name, File, Old, Wrong string }

// AreCaught makes each mistake by itself and fails when the tests that the arguments of go test name pass with it. The
// source is replaced for the compiler alone; the files stay as they are.
func AreCaught(t *testing.T, root string, all []Mistake, arguments ...string) {
	for _, m := range all {
		t.Run(m.Name, func(t *testing.T) {
			out, err := testWith(t, root, m, arguments)
			switch {
			case err == nil:
				t.Errorf("not found: in %s %q for %q", m.File, m.Wrong, m.Old)
			case !strings.Contains(out, "--- FAIL"):
				t.Errorf("it did not come to a failed test: %s", out)
			}
		})
	}
}

// CanBeMade fails when a text is not in its file, once: so a change cannot quietly leave a mistake out.
func CanBeMade(t *testing.T, root string, all []Mistake) {
	for _, m := range all {
		text, err := os.ReadFile(filepath.Join(root, m.File))
		if err != nil {
			t.Errorf("%s: %v", m.Name, err)
			continue
		}
		if n := strings.Count(string(text), m.Old); n != 1 || m.Old == m.Wrong {
			t.Errorf("%s: %s holds %q %d times, not once", m.Name, m.File, m.Old, n)
		}
	}
}

func testWith(t *testing.T, root string, m Mistake, arguments []string) (string, error) {
	t.Helper()
	root, err := filepath.Abs(root)
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(root, m.File)
	source, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(string(source), m.Old); n != 1 {
		t.Fatalf("%s holds %q %d times: the mistake must be written anew", m.File, m.Old, n)
	}
	dir := t.TempDir()
	changed := filepath.Join(dir, filepath.Base(m.File))
	overlay, err := json.Marshal(map[string]map[string]string{"Replace": {path: changed}})
	if err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string][]byte{changed: []byte(strings.Replace(string(source), m.Old, m.Wrong, 1)), filepath.Join(dir, "overlay.json"): overlay} {
		if err := os.WriteFile(name, text, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	command := exec.CommandContext(t.Context(), "go", append([]string{"test", "-failfast", "-overlay", filepath.Join(dir, "overlay.json")}, arguments...)...)
	command.Dir = root
	out, err := command.CombinedOutput()
	return string(out), err
}
