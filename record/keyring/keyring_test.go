package keyring_test

import (
	"os"
	"os/exec"
	"runtime"
	"strings"
	"testing"

	"solander/fault"
	"solander/record/keyring"
)

// inside says that this run stands within the session of a bus, with a keyring.
const inside = "SOLANDER_TEST_KEYRING"

// A keyring of the system, one that is not ours (the Secret Service of a desktop), is unlocked in a session of its own, and keeps what it was given.
func TestARealKeyringKeepsIt(t *testing.T) {
	if os.Getenv(inside) != "" {
		var one keyring.Ring
		if !one.There() {
			t.Error("there is a keyring, and it is not seen")
		}
		if secret, err := one.Secret(); secret != "" || err != nil {
			t.Fatalf("a new keyring keeps %q, %v", secret, err)
		}
		made, err := one.Make()
		if err != nil || !strings.HasPrefix(made, "AGE-SECRET-KEY-") {
			t.Fatalf("%q, %v", made, err)
		}
		var other keyring.Ring // another program
		if secret, err := other.Secret(); secret != made || err != nil {
			t.Errorf("it gives back %q, %v", secret, err)
		}
		if again, err := other.Make(); again != made || err != nil {
			t.Errorf("another one was made: %q, %v", again, err)
		}
		return
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
		`printf heron | gnome-keyring-daemon --unlock --components=secrets >/dev/null 2>&1 && exec "$0" -test.run '^TestARealKeyringKeepsIt$' -test.v`, program)
	cmd.Env = append(os.Environ(), inside+"=1", "HOME="+home, "XDG_DATA_HOME="+home, "XDG_RUNTIME_DIR="+home)
	out, err := cmd.CombinedOutput()
	if err != nil || !strings.Contains(string(out), "--- PASS: TestARealKeyringKeepsIt") {
		t.Errorf("%v\n%s", err, out)
	}
}

// Where nobody's session is open there is no keyring; none is begun for it, and what to do instead is said.
func TestNoSessionNoKeyring(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("elsewhere every user has a keyring")
	}
	if _, err := os.Stat("/run/user/0/bus"); err == nil {
		t.Skip("a session is open here")
	}
	t.Setenv("DBUS_SESSION_BUS_ADDRESS", "")
	t.Setenv("XDG_RUNTIME_DIR", t.TempDir())
	for _, ask := range []func(*keyring.Ring) (string, error){(*keyring.Ring).Secret, (*keyring.Ring).Make} {
		ring := new(keyring.Ring)
		if ring.There() {
			t.Error("there is no keyring, and one is seen")
		}
		secret, err := ask(ring)
		if f := fault.All(err); secret != "" || !fault.Is(err, fault.Refused) || !strings.Contains(f[0].What, "no keyring that answers: nobody's session") || !strings.Contains(f[0].Mend, "passphrase") {
			t.Errorf("%q, %v", secret, err)
		}
	}
}
