package privacy_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"solander/feed"
	"solander/feeds"
	"solander/internal/bed"
	"solander/internal/pgtest"
	"solander/people"
	"solander/people/totp"
	"solander/store"
	"solander/studio"
)

// secretCells are the secrets of web-hooks as they stand in the tables.
func secretCells(t *testing.T, b *bed.Bed) (out []string) {
	t.Helper()
	for cell, text := range cells(t, b) {
		if strings.HasPrefix(cell, "feed_secrets(") && strings.HasSuffix(cell, ".secret") {
			out = append(out, text)
		}
	}
	return out
}

// known are the secrets of a feed's web-hook as the studio reads them.
func known(t *testing.T, b *bed.Bed, s studio.Store, feed int64) (out []string) {
	t.Helper()
	b.Must(s.Read(b.Ctx, func(tx studio.Tx) error {
		all, err := tx.FeedSecrets(feed)
		for _, x := range all {
			out = append(out, x.Secret)
		}
		return err
	}))
	return out
}

func allSealed(cells []string) bool {
	for _, c := range cells {
		if !strings.HasPrefix(c, "sealed:") {
			return false
		}
	}
	return len(cells) > 0
}

// In a file of its own a studio keeps its secrets in cipher from the first on, by a key beside it; programs that have it open find the key; a
// copy holds them as they are, and is restored wherever.
func TestSecretsAreInCipherByThemselves(t *testing.T) {
	at := filepath.Join(t.TempDir(), "studio.db")
	b := bed.On(t, at)
	other := opened(t, b, at, "")
	if _, err := os.Stat(at + "-key"); !os.IsNotExist(err) {
		t.Fatalf("there is a key before there is a secret: %v", err)
	}
	f := b.Feed("Hook", feed.HooksWrite)
	secret, err := feeds.AddFeedSecret(b.Ctx, b.Studio, f.ID, "")
	b.Must(err)
	if info, err := os.Stat(at + "-key"); err != nil || info.Mode().Perm() != 0o600 {
		t.Fatalf("the key: %v %v", info, err)
	}
	if got := secretCells(t, b); !allSealed(got) || len(got) != 1 {
		t.Errorf("the secret stands there as %q", got)
	}
	if got := known(t, b, other, f.ID); len(got) != 1 || got[0] != secret {
		t.Errorf("a program that had the studio open before reads %q, not %q", got, secret)
	}
	b.Sound()

	var dump bytes.Buffer
	b.Must(b.Store.Dump(b.Ctx, &dump))
	for name, place := range map[string]string{"a file": filepath.Join(t.TempDir(), "studio.db"), "a server": pgtest.New(t)} {
		s, err := store.Open(b.Ctx, place, store.Options{Clock: b.Clock.Now})
		b.Must(err)
		b.Must(s.Load(b.Ctx, bytes.NewReader(dump.Bytes())))
		b.Must(s.Close())
		again := opened(t, b, place, "")
		if got := known(t, b, again, f.ID); len(got) != 1 || got[0] != secret {
			t.Errorf("restored in %s it reads %q, not %q", name, got, secret)
		}
		if found, err := again.Integrity(b.Ctx); err != nil || len(found) > 0 {
			t.Errorf("restored in %s the check finds %v %v", name, found, err)
		}
		c, err := again.Cipher(b.Ctx)
		b.Must(err)
		if c.Secrets != (name == "a file") || c.Itself != c.Secrets || c.People {
			t.Errorf("restored in %s: %+v", name, c)
		}
	}

	// What she chooses stands: all in clear, the next secret, too, and after it was opened again.
	b.Must(b.Store.SetCipher(b.Ctx, false, false, false))
	_, err = feeds.AddFeedSecret(b.Ctx, b.Studio, f.ID, "")
	b.Must(err)
	b.Must(b.Store.Close())
	reopen(t, b, "")
	for _, cell := range secretCells(t, b) {
		if strings.HasPrefix(cell, "sealed:") {
			t.Errorf("she chose otherwise, and it stands there as %.40q", cell)
		}
	}
	b.Must(b.Store.SetCipher(b.Ctx, true, false, false))
	if c, err := b.Store.Cipher(b.Ctx); err != nil || !c.Secrets || c.Itself {
		t.Errorf("what she chose: %+v %v", c, err)
	}
	dump.Reset()
	b.Must(b.Store.Dump(b.Ctx, &dump))
	s := opened(t, b, filepath.Join(t.TempDir(), "studio.db"), "")
	if err := s.Load(b.Ctx, &dump); err == nil {
		t.Error("a copy in cipher, by her choice, is restored without its key")
	}
}

// On a server a studio does the same where a key was given a place: programs with the same file read secrets, what stood in clear is put into cipher,
// and one that has no key makes none, and knows no secret.
func TestSecretsOnAServerByAKeyThatWasGiven(t *testing.T) {
	place, key := pgtest.New(t), filepath.Join(t.TempDir(), "key")
	b := bed.On(t, place)
	f := b.Feed("Hook", feed.HooksWrite)
	secret, err := feeds.AddFeedSecret(b.Ctx, b.Studio, f.ID, "")
	b.Must(err)
	if got := secretCells(t, b); len(got) != 1 || got[0] != secret {
		t.Fatalf("without a key it stands there as %q", got)
	}
	b.Must(b.Store.Close())
	one, two := opened(t, b, place, key), opened(t, b, place, key)
	b.Store = one
	if info, err := os.Stat(key); err != nil || info.Mode().Perm() != 0o600 {
		t.Fatalf("the key: %v %v", info, err)
	}
	if got := secretCells(t, b); !allSealed(got) {
		t.Errorf("by a key it stands there as %q", got)
	}
	for name, s := range map[string]studio.Store{"who made the key": one, "another program": two} {
		if got := known(t, b, s, f.ID); len(got) != 1 || got[0] != secret {
			t.Errorf("%s reads %q, not %q", name, got, secret)
		}
	}
	elsewhere := filepath.Join(t.TempDir(), "key")
	for name, at := range map[string]string{"none": "", "a place without one": elsewhere} {
		if got := known(t, b, opened(t, b, place, at), f.ID); len(got) != 1 || got[0] == secret || strings.HasPrefix(got[0], "sealed:") {
			t.Errorf("with %s it reads %q", name, got)
		}
	}
	if _, err := os.Stat(elsewhere); !os.IsNotExist(err) {
		t.Errorf("a second key was made: %v", err)
	}
}

// What an older program kept in clear is put into cipher when it is opened.
func TestOlderSecretsComeIntoCipher(t *testing.T) {
	at := filepath.Join(t.TempDir(), "studio.db")
	b := bed.On(t, at)
	f := b.Feed("Hook", feed.HooksWrite)
	b.Must(b.Store.SetCipher(b.Ctx, false, false, false))
	secret, err := feeds.AddFeedSecret(b.Ctx, b.Studio, f.ID, "")
	b.Must(err)
	if _, err := raw(t, b).Exec(`DELETE FROM vault`); err != nil { // nothing was chosen, as an older program leaves it
		t.Fatal(err)
	}
	if got := secretCells(t, b); allSealed(got) {
		t.Fatalf("nothing is tested: %q", got)
	}
	b.Must(b.Store.Close())
	reopen(t, b, "")
	if got := secretCells(t, b); !allSealed(got) {
		t.Errorf("the secret stands there as %q", got)
	}
	if got := known(t, b, b.Store, f.ID); len(got) != 1 || got[0] != secret {
		t.Errorf("it reads %q, not %q", got, secret)
	}
	b.Sound()
}

// A studio whose key file was lost goes on, without the secrets: they read as what nobody knows, the check names them, the next one stands in clear, and
// she may begin anew. With the file put back they are there again, and the check names what stands in clear.
func TestSecretsOfALostKey(t *testing.T) {
	at := filepath.Join(t.TempDir(), "studio.db")
	b := bed.On(t, at)
	f := b.Feed("Hook", feed.HooksWrite)
	secret, err := feeds.AddFeedSecret(b.Ctx, b.Studio, f.ID, "")
	b.Must(err)
	key, err := os.ReadFile(at + "-key")
	b.Must(err)
	b.Must(b.Store.Close())
	b.Must(os.Remove(at + "-key"))
	reopen(t, b, "")
	if got := known(t, b, b.Store, f.ID); len(got) != 1 || len(got[0]) < 26 || got[0] == secret {
		t.Errorf("it reads %q", got)
	}
	b.Take(b.Sale())
	found, err := b.Store.Integrity(b.Ctx)
	b.Must(err)
	if len(found) != 1 || !strings.Contains(found[0], "its key is not there") {
		t.Errorf("the check finds %+v", found)
	}
	second, err := feeds.AddFeedSecret(b.Ctx, b.Studio, f.ID, "")
	b.Must(err)
	b.Must(b.Store.Close())

	b.Must(os.WriteFile(at+"-key", key, 0o600))
	reopen(t, b, "")
	if got := known(t, b, b.Store, f.ID); len(got) != 2 || got[0] != secret || got[1] != second {
		t.Errorf("with the key put back it reads %q", got)
	}
	found, err = b.Store.Integrity(b.Ctx)
	b.Must(err)
	if len(found) != 1 || !strings.Contains(found[0], "a secret stands in clear") || !strings.Contains(found[0], "while the key file was away") {
		t.Errorf("of what was written meanwhile the check finds %+v", found)
	}
	b.Must(b.Store.Close())

	b.Must(os.Remove(at + "-key"))
	reopen(t, b, "")
	b.Must(b.Store.SetCipher(b.Ctx, true, false, false))
	if got := known(t, b, b.Store, f.ID); len(got) != 2 || len(got[0]) < 26 || got[0] == secret || got[1] != second {
		t.Errorf("begun anew it reads %q", got)
	}
	b.Sound()
}

// A second factor whose secret cannot be read lets nobody in: no code is good, a password alone is none, a recovery code still is. What stands in the
// row is not written over, and is good again with the key put back.
func TestSecondFactorOfALostKey(t *testing.T) {
	at := filepath.Join(t.TempDir(), "studio.db")
	b := bed.On(t, at)
	const password = "heron on a wet fence at dusk"
	mara, err := people.FirstOwner(b.Ctx, b.Studio, "Mara", password, "")
	b.Must(err)
	her := people.WithWho(b.Ctx, mara.Who)
	offered, err := people.OfferSecond(her, b.Studio)
	b.Must(err)
	seed, err := totp.Key(offered.Secret)
	b.Must(err)
	code := func() string { return totp.Code(seed, totp.StepAt(b.Clock.Now())) }
	codes, err := people.TakeSecond(her, b.Studio, offered.Key, code())
	b.Must(err)
	enter := func(code string) error {
		b.Clock.Instant = b.Clock.Instant.Add(2 * totp.Step)
		_, err := people.Enter(b.Ctx, b.Studio, people.SignIn{Name: "Mara", Password: password, Code: code})
		return err
	}
	key, err := os.ReadFile(at + "-key")
	b.Must(err)
	b.Must(b.Store.Close())
	b.Must(os.Remove(at + "-key"))
	reopen(t, b, "")
	if err := enter(""); err == nil {
		t.Error("a password alone lets in")
	}
	if err := enter(code()); err == nil {
		t.Error("a code lets in that cannot be looked at")
	}
	if err := enter(codes[0]); err != nil {
		t.Errorf("a recovery code: %v", err)
	}
	b.Must(b.Store.Close())
	b.Must(os.WriteFile(at+"-key", key, 0o600))
	reopen(t, b, "")
	if err := enter(""); err == nil {
		t.Error("with the key put back a password alone lets in")
	}
	b.Clock.Instant = b.Clock.Instant.Add(2 * totp.Step)
	if _, err := people.Enter(b.Ctx, b.Studio, people.SignIn{Name: "Mara", Password: password, Code: code()}); err != nil {
		t.Errorf("with the key put back her code: %v", err)
	}
	b.Sound()
}
