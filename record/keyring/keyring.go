// Package keyring keeps what opens the register's keys of this user in the keyring of the system: the Secret Service of a desktop on Linux, the Keychain of
// macOS, the Credential Manager of Windows. It is open while its owner is signed in at the computer; a server, and a service that runs without anybody, has
// none.
package keyring

import (
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"sync"
	"time"

	ring "github.com/zalando/go-keyring"

	"solander/copies/sealed"
	"solander/fault"
)

// Under what it lies in the keyring.
const (
	service = "solander"
	name    = "register-opener"
)

// patience is how long a keyring may take: somebody may have to unlock it.
const patience = 45 * time.Second

// Ring is the keyring of this user. What it told is remembered while the program runs. The zero Ring is ready; it is safe for concurrent use.
type Ring struct {
	mu     sync.Mutex
	secret string
	silent error // when it was asked last
	since  time.Time
}

// quiet is how long a keyring that did not answer is not asked again, so that nobody is asked to unlock it time and again; common practice, no source.
const quiet = time.Minute

// Secret is what the keyring keeps; "" = nothing. Faults: Refused when no keyring answers.
func (r *Ring) Secret() (string, error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.secret != "" {
		return r.secret, nil
	}
	if r.silent != nil && time.Since(r.since) < quiet {
		return "", r.silent
	}
	secret, err := asked(func() (string, error) { return ring.Get(service, name) })
	if errors.Is(err, ring.ErrNotFound) {
		return "", nil
	}
	if err != nil {
		r.silent, r.since = silent(err), time.Now()
		return "", r.silent
	}
	r.secret, r.silent = secret, nil
	return secret, nil
}

// Make is Secret, and puts a new one into the keyring when it keeps none. Faults: Refused when no keyring answers, or it does not keep it.
func (r *Ring) Make() (string, error) {
	r.mu.Lock()
	r.silent = nil // she asks for it
	r.mu.Unlock()
	secret, err := r.Secret()
	if err != nil || secret != "" {
		return secret, err
	}
	if secret, _, err = sealed.NewKey(); err != nil {
		return "", err
	}
	if _, err := asked(func() (string, error) { return "", ring.Set(service, name, secret) }); err != nil {
		return "", silent(err)
	}
	kept, err := r.Secret()
	if err == nil && kept != secret {
		err = silent(errors.New("it gives back something else than it was given"))
	}
	return kept, err
}

// asked asks the keyring, within patience.
func asked(ask func() (string, error)) (string, error) {
	if err := there(); err != nil {
		return "", err
	}
	type answer struct {
		secret string
		err    error
	}
	came := make(chan answer, 1)
	go func() {
		secret, err := ask()
		came <- answer{secret, err}
	}()
	select {
	case a := <-came:
		return a.secret, a.err
	case <-time.After(patience):
		return "", errors.New("it does not answer: is it locked?")
	}
}

// There reports whether there can be a keyring at all; none is asked, so that nobody has to unlock one.
func (r *Ring) There() bool { return there() == nil }

// there looks whether there can be a keyring at all. On Linux it is reached by the bus of the session; where there is none, none is begun for it.
// Source: D-Bus specification, "Well-known Message Bus Instances"; XDG base directories.
func there() error {
	if runtime.GOOS == "windows" || runtime.GOOS == "darwin" || os.Getenv("DBUS_SESSION_BUS_ADDRESS") != "" {
		return nil
	}
	for _, dir := range []string{os.Getenv("XDG_RUNTIME_DIR"), "/run/user/" + strconv.Itoa(os.Getuid())} {
		if _, err := os.Stat(filepath.Join(dir, "bus")); dir != "" && err == nil {
			return nil
		}
	}
	return errors.New("nobody's session is open here")
}

func silent(err error) error {
	return fault.New(fault.Refused, "this computer has no keyring that answers: %v", err).In("keyring").
		ToMend("sign in at the computer's own screen and unlock its keyring; or lock the key by a passphrase, or by a file in your own settings").Because(err)
}
