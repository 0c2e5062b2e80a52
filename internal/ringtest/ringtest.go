// Package ringtest runs a test within a session of a desktop's bus that has a keyring of the system, one that is not ours: the Secret Service
// of gnome-keyring, unlocked. Linux alone has it.
package ringtest

import (
	"os"
	"os/exec"
	"runtime"
	"strings"
	"testing"
)

// inside says that this run stands within such a session.
const inside = "SOLANDER_TEST_KEYRING"

// Inside reports whether the test runs within such a session. Where it does not, the test is run once more in one of its own, with a home of
// its own, and fails when it does not pass there: what calls it returns then. A short test is left out.
func Inside(t *testing.T) bool {
	t.Helper()
	if os.Getenv(inside) != "" {
		return true
	}
	if runtime.GOOS != "linux" || testing.Short() {
		t.Skip("Linux alone, and long: make test runs it")
	}
	for _, program := range []string{"dbus-run-session", "gnome-keyring-daemon"} {
		if _, err := exec.LookPath(program); err != nil {
			t.Fatalf("%s is not installed: scripts/install-test-tools.sh", program)
		}
	}
	program, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	home := t.TempDir()
	cmd := exec.CommandContext(t.Context(), "dbus-run-session", "--", "sh", "-c",
		`printf heron | gnome-keyring-daemon --unlock --components=secrets >/dev/null 2>&1 && exec "$0" -test.run '^`+t.Name()+`$' -test.v`, program)
	cmd.Env = append(os.Environ(), inside+"=1", "HOME="+home, "XDG_DATA_HOME="+home, "XDG_RUNTIME_DIR="+home)
	out, err := cmd.CombinedOutput()
	if err != nil || !strings.Contains(string(out), "--- PASS: "+t.Name()) {
		t.Errorf("%v\n%s", err, out)
	}
	return false
}
