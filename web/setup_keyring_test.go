package web

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"solander/fault"
	"solander/internal/ringtest"
	"solander/record"
	"solander/record/keyring"
	"solander/sealog"
	"solander/store"
)

// ringSite is an empty studio of somebody with a keyring.
func ringSite(t *testing.T, ring sealog.Ring) *site {
	t.Helper()
	dir := t.TempDir()
	return openWith(t, filepath.Join(dir, "studio.db"), store.Options{
		Clock: func() time.Time { return noon }, Away: 2 * time.Second, Hasty: true, Ring: ring, UserKey: filepath.Join(dir, "keys", "opener"),
	})
}

// shutRing is a keyring that is there and does not answer: nobody unlocks it.
type shutRing struct{}

func (shutRing) There() bool { return true }

func (shutRing) Secret() (string, error) {
	return "", fault.New(fault.Refused, "this computer has no keyring that answers").ToMend("unlock it").Because(errors.New("shut"))
}

func (r shutRing) Make() (string, error) { return r.Secret() }

const ringTick = "input[name=register_keyring]"

// opened sends the last step of the set-up and opens the studio.
func (s *site) opened(last answer, fields ...string) answer {
	s.t.Helper()
	return s.leads(s.post("/set-up", merged(fieldsOf(last.one("#matter form[action='/set-up']")), append([]string{"go", "next"}, fields...)...)...), "/")
}

// The tick of the set-up gives the register's key to a keyring of the system, one that is not ours (the Secret Service of a desktop), unlocked in a session of
// its own: it opens the key then, and no file of the user does.
func TestSetUpByARealKeyring(t *testing.T) {
	if ringtest.Inside(t) {
		s := ringSite(t, new(keyring.Ring))
		s.opened(s.toShelf(), "register_keyring", "1").has(".said", "The studio is set up.")
		s.get("/editions/record").has("#key dd", "this computer's keyring opens it")
		place := s.studio.Store.RegisterKey()
		body, err := os.ReadFile(place.File)
		s.must(err)
		if strings.Contains(string(body), "solander-register-key") {
			t.Error("the key lies open in its file")
		}
		s.must(os.RemoveAll(filepath.Dir(place.User))) // what a file in her own settings opened
		_, err = record.Sign(s.ctx(), s.studio, "")
		s.must(err)
	}
}

// The tick is offered where there can be a keyring, and nowhere else, and so is the form of the page of the register; it outlives a mistake in the same step, and that a passphrase must be typed again is
// said. A keyring that does not answer leaves the key as it was, and says so.
func TestSetUpOffersTheKeyring(t *testing.T) {
	t.Parallel()
	without := ringSite(t, nil)
	last := without.toShelf()
	last.one("#register_passphrase")
	last.hasNot(ringTick)
	without.opened(last, "register_keyring", "1").has(".said", "no keyring that answers")

	s := ringSite(t, shutRing{})
	last = s.toShelf()
	last.one(ringTick)
	last.hasNot(ringTick + "[checked]")
	last.hasNot("#register_passphrase-hint strong")
	last = s.step(last, 422, "shelf[0].stock", "-2", "register_keyring", "1", "register_passphrase", "a heron in the marsh")
	last.one(ringTick + "[checked]") // a mistake beside it does not take it away
	last.has("#register_passphrase-hint", "Type it again")
	if v := attr(last.one("#register_passphrase"), "value"); v != "" {
		t.Errorf("the passphrase is sent back: %q", v)
	}
	s.opened(last, "shelf[0].stock", "2", "register_passphrase", "a heron in the marsh").has(".said", "no keyring that answers: the register's key is opened as before")
	p := s.get("/editions/record")
	p.has("#key dd", "locked by a passphrase")
	const ring = "form[action=/editions/record/key/keyring]"
	s.sendForm(p, ring, "passphrase", "a heron in the marsh").is(422).has(ring, "Without this computer's keyring the key is lost")
	s.sendForm(p, ring, "passphrase", "a heron in the marsh", "sure", "true").is(409).has("main", "no keyring that answers")
}
