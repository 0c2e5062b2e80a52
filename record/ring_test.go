package record_test

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"solander/copies/sealed"
	"solander/fault"
	"solander/internal/bed"
	"solander/record"
	"solander/record/keyfile"
	"solander/store"
)

// aRing is a keyring as a test has it.
type aRing struct {
	secret string
	shut   bool
}

func (r *aRing) There() bool { return true }

func (r *aRing) Secret() (string, error) {
	if r.shut {
		return "", fault.New(fault.Refused, "this computer has no keyring that answers").ToMend("unlock it").Because(errors.New("shut"))
	}
	return r.secret, nil
}

func (r *aRing) Make() (string, error) {
	if _, err := r.Secret(); err != nil || r.secret != "" {
		return r.secret, err
	}
	secret, _, err := sealed.NewKey()
	r.secret = secret
	return secret, err
}

// The key is opened by the keyring while that is open; shut, or another one, it opens nothing, signs nothing, and is named; handed over, it stays there;
// a passphrase takes it out again.
func TestAKeyringOpensTheKey(t *testing.T) {
	b := bed.On(t, filepath.Join(t.TempDir(), "studio.db"))
	ring := &aRing{}
	user := filepath.Join(t.TempDir(), "keys", "opener")
	again := func() {
		t.Helper()
		b.Must(b.Store.Close())
		s, err := store.Open(b.Ctx, b.Path, store.Options{Clock: b.Clock.Now, Ring: ring, UserKey: user})
		b.Must(err)
		t.Cleanup(func() { s.Close() })
		b.Store, b.Studio.Store = s, s
	}
	again()
	b.Take(b.Sale())
	_, err := record.Sign(b.Ctx, b.Studio, "")
	b.Must(err)
	file := b.Store.RegisterKey().File

	ring.shut = true
	before, err := os.ReadFile(file)
	b.Must(err)
	b.Refused(record.ToKeyring(b.Ctx, b.Studio, ""), fault.Refused, "", "no keyring that answers")
	if after, err := os.ReadFile(file); err != nil || string(after) != string(before) {
		t.Error("a keyring that did not answer changed the key")
	}
	ring.shut = false
	b.Must(record.ToKeyring(b.Ctx, b.Studio, ""))
	stands := func(ring, locked bool) {
		t.Helper()
		s, err := record.Stands(b.Ctx, b.Studio)
		if b.Must(err); s.ByRing != ring || s.Locked != locked || s.ByUser {
			t.Errorf("it stands as %+v", s)
		}
	}
	stands(true, false)
	b.Take(b.Sale())
	_, err = record.Sign(b.Ctx, b.Studio, "")
	b.Must(err)
	_, err = record.Replace(b.Ctx, b.Studio, "")
	b.Must(err)
	stands(true, false)
	body, err := os.ReadFile(file)
	b.Must(err)
	if keyfile.ByPassphrase(body) || !keyfile.OpensBy(body, ring.secret) || keyfile.OpensBy(body, keyfile.Opener(user)) {
		t.Error("what the keyring keeps does not open the key alone")
	}

	ring.shut = true
	stands(false, true)
	_, err = record.Sign(b.Ctx, b.Studio, "")
	if f := fault.All(err); !fault.Is(err, fault.Refused) || !strings.Contains(f[0].Mend, "no keyring that answers") {
		t.Errorf("by a keyring that is shut: %v", err)
	}
	ring.shut, ring.secret = false, ""
	other, err := ring.Make()
	b.Must(err)
	stands(false, true)
	if _, err = record.Sign(b.Ctx, b.Studio, ""); !fault.Is(err, fault.Refused) {
		t.Errorf("another keyring, %.16s…, opens it: %v", other, err)
	}
	ring.secret = ""
	b.Must(os.WriteFile(file, before, 0o600)) // the one before, which was handed over
	if _, err = record.Sign(b.Ctx, b.Studio, ""); !fault.Is(err, fault.Refused) {
		t.Errorf("a key that was replaced signs: %v", err)
	}
}

// A passphrase takes the key out of the keyring, which is not asked any more.
func TestAPassphraseInPlaceOfTheKeyring(t *testing.T) {
	b := bed.On(t, filepath.Join(t.TempDir(), "studio.db"))
	ring := &aRing{}
	b.Must(b.Store.Close())
	s, err := store.Open(b.Ctx, b.Path, store.Options{Clock: b.Clock.Now, Ring: ring})
	b.Must(err)
	t.Cleanup(func() { s.Close() })
	b.Store, b.Studio.Store = s, s
	b.Take(b.Sale())
	b.Must(record.MakeKey(b.Ctx, b.Studio, "a heron in the marsh"))
	b.Must(record.ToKeyring(b.Ctx, b.Studio, "a heron in the marsh"))
	_, err = record.Sign(b.Ctx, b.Studio, "")
	b.Must(err)
	b.Must(record.Reseal(b.Ctx, b.Studio, "", "a bittern in the marsh"))
	ring.shut = true
	_, err = record.Sign(b.Ctx, b.Studio, "a bittern in the marsh")
	b.Must(err)
	b.Take(b.Sale())
	_, err = record.Sign(b.Ctx, b.Studio, "a heron in the marsh")
	b.Refused(err, fault.Invalid, "passphrase", "")
}
