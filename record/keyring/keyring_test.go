package keyring_test

import (
	"os"
	"runtime"
	"strings"
	"testing"

	"solander/fault"
	"solander/internal/ringtest"
	"solander/record/keyring"
)

// A keyring of the system, one that is not ours (the Secret Service of a desktop), is unlocked in a session of its own, and keeps what it was given.
func TestARealKeyringKeepsIt(t *testing.T) {
	if ringtest.Inside(t) {
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
