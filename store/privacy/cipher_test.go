package privacy_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"solander/access"
	"solander/book"
	"solander/buyers"
	"solander/fault"
	"solander/feed"
	"solander/feeds"
	"solander/house"
	"solander/internal/bed"
	use "solander/privacy"
	"solander/store"
	"solander/store/privacy"
	"solander/studio"
)

// keyed opens a studio of its own on each engine, with a place for a key.
func keyed(t *testing.T, do func(t *testing.T, b *bed.Bed, key string)) {
	t.Helper()
	for name, place := range engines {
		t.Run(name, func(t *testing.T) {
			at, key := place(t), filepath.Join(t.TempDir(), "the.key")
			b := bed.On(t, at)
			b.Must(b.Store.Close())
			reopen(t, b, key)
			do(t, b, key)
		})
	}
}

func reopen(t *testing.T, b *bed.Bed, key string) {
	t.Helper()
	b.Studio.Store = opened(t, b, b.Path, key)
}

func opened(t *testing.T, b *bed.Bed, at, key string) studio.Store {
	t.Helper()
	s, err := store.Open(b.Ctx, at, store.Options{Clock: b.Clock.Now, KeyFile: key})
	b.Must(err)
	t.Cleanup(func() { s.Close() })
	return s
}

// bare are the cells in which the word of the story stands, of columns that are to be in cipher.
func bare(t *testing.T, b *bed.Bed) []string {
	t.Helper()
	sealed := map[string]bool{}
	for _, c := range privacy.Columns() {
		sealed[c.Table+"."+c.Name] = c.Sealed || derived(c)
	}
	var out []string
	for cell, text := range cells(t, b) {
		table, _, _ := strings.Cut(cell, "(")
		if column := cell[strings.LastIndex(cell, ".")+1:]; sealed[table+"."+column] && !strings.HasPrefix(text, "sealed:") && strings.Contains(strings.ToLower(text), told) {
			out = append(out, fmt.Sprintf("%s: %.60s", cell, text))
		}
	}
	return out
}

func TestPeopleAndSecretsInCipher(t *testing.T) {
	keyed(t, func(t *testing.T, b *bed.Bed, key string) {
		her := story(b)
		f := b.Feed("Hook", feed.HooksWrite)
		secret, err := feeds.AddFeedSecret(b.Ctx, b.Studio, f.ID, "")
		b.Must(err)
		said := fmt.Sprint(secret)
		person := access.Person{Name: "Odo Fenwright", Role: access.Owner, Handle: "odo", TOTP: "GEZDGNBVGY3TQOJQ", Made: b.Clock.Now()}
		b.Must(b.Store.Write(b.Ctx, func(tx studio.Tx) (err error) {
			person.ID, err = tx.SavePerson(person)
			return err
		}))
		before, err := use.KeptOf(b.Ctx, b.Studio, her)
		b.Must(err)
		if len(bare(t, b)) == 0 {
			t.Fatal("nothing stands in clear before: nothing is tested")
		}
		b.Must(b.Store.SetCipher(b.Ctx, true, true, false))
		if info, err := os.Stat(key); err != nil || info.Mode().Perm() != 0o600 {
			t.Errorf("the key: %v %v", info, err)
		}
		if left := bare(t, b); len(left) > 0 {
			t.Errorf("%d cells stand in clear: %v", len(left), left[:min(5, len(left))])
		}
		for cell, text := range cells(t, b) {
			if strings.HasPrefix(cell, "feed_secrets(") && strings.HasSuffix(cell, ".secret") && (!strings.HasPrefix(text, "sealed:") || strings.Contains(said, text)) {
				t.Errorf("a secret stands in clear: %s", cell)
			}
			if strings.HasPrefix(cell, "persons(") && strings.HasSuffix(cell, ".totp") && !strings.HasPrefix(text, "sealed:") {
				t.Errorf("the secret of a second factor stands in clear: %s", cell)
			}
		}
		b.Must(b.Store.Write(b.Ctx, func(tx studio.Tx) error {
			p, err := tx.Person(person.ID)
			if err != nil || p.TOTP != person.TOTP {
				return fmt.Errorf("the secret of the second factor reads %q: %w", p.TOTP, err)
			}
			p.TOTPStep = 7
			_, err = tx.SavePerson(p)
			return err
		}))
		after, err := use.KeptOf(b.Ctx, b.Studio, her)
		b.Must(err)
		for i, table := range before.Tables {
			if table.Name != "person_words" && fmt.Sprint(table.Rows) != fmt.Sprint(after.Tables[i].Rows) {
				t.Errorf("%s reads otherwise in cipher", table.Name)
			}
		}
		found, err := book.Find(b.Ctx, b.Studio, "zqwed")
		b.Must(err)
		if len(found.Buyers) != 1 || len(found.Orders) == 0 {
			t.Errorf("%d buyers and %d orders are found in cipher", len(found.Buyers), len(found.Orders))
		}
		again := b.Take(func() book.Sale {
			in := b.Sale()
			in.Buyer.Name, in.Buyer.Email = "Zqname Zqwed", "zqmail@post.example"
			return in
		}())
		if again.BuyerData.ID != her {
			t.Errorf("she is not known again in cipher: buyer %d, want %d", again.BuyerData.ID, her)
		}
		if left := bare(t, b); len(left) > 0 {
			t.Errorf("what was written since stands in clear: %v", left)
		}
		if page, err := buyers.Buyers(b.Ctx, b.Studio, studio.BuyerQuery{}); err != nil || len(page.Rows) < 2 || page.Rows[0].Name > page.Rows[1].Name {
			t.Errorf("the list in cipher: %+v %v", page.Rows, err)
		}
		b.Sound()
		b.Must(book.Cancel(b.Ctx, b.Studio, book.CancelIn{Order: again.ID, Reason: "enough"}))

		old, err := os.ReadFile(key)
		b.Must(err)
		b.Must(b.Store.SetCipher(b.Ctx, true, true, true)) // another key
		if now, err := os.ReadFile(key); err != nil || bytes.Equal(now, old) {
			t.Error("the key is the old one")
		}
		reopen(t, b, key)
		b.Must(erased(b, her, true))
		b.Sound()
		b.Must(b.Store.SetCipher(b.Ctx, false, false, false))
		for cell, text := range cells(t, b) {
			chance := strings.HasPrefix(cell, "feed_secrets(") || strings.HasPrefix(cell, "row_sums(") // in which the word may stand, too
			if strings.HasPrefix(text, "sealed:") && !strings.HasPrefix(cell, "row_sums(") || !chance && strings.Contains(strings.ToLower(text), told) {
				t.Errorf("%s holds %.60q", cell, text)
			}
		}
		b.Sound()
	})
}

func TestLostWrongAndSwapped(t *testing.T) {
	keyed(t, func(t *testing.T, b *bed.Bed, key string) {
		one, two := ended(b, "Odo Fenwright"), ended(b, "Ulla Marsh")
		b.Must(b.Store.SetCipher(b.Ctx, true, true, false))
		var copied bytes.Buffer
		b.Must(house.Backup(b.Ctx, b.Studio, &copied))
		b.Must(b.Store.Close())
		before := cells(t, b)
		right, err := os.ReadFile(key)
		b.Must(err)

		b.Must(os.Remove(key))
		_, err = store.Open(b.Ctx, b.Path, store.Options{KeyFile: key})
		b.Refused(err, fault.Refused, "", "is not there")
		b.Must(os.WriteFile(key, []byte("solander-key/1 AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA=\n"), 0o600))
		_, err = store.Open(b.Ctx, b.Path, store.Options{KeyFile: key})
		b.Refused(err, fault.Refused, "", "another studio")
		b.Must(os.WriteFile(key, []byte("rubbish"), 0o600))
		_, err = store.Open(b.Ctx, b.Path, store.Options{KeyFile: key})
		b.Refused(err, fault.Refused, "", "no key")
		put := func(key string, body []byte) error {
			_, err := store.PutKey(b.Ctx, b.Path, store.Options{KeyFile: key}, body)
			return err
		}
		b.Refused(put(key, right), fault.Taken, "", "lies there already")
		other := filepath.Join(t.TempDir(), "put.key")
		b.Refused(put(other, []byte("rubbish")), fault.Invalid, "", "no key")
		b.Refused(put(other, []byte("solander-key/1 AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA=\n")), fault.Refused, "", "another studio")
		if _, err := os.Stat(other); !os.IsNotExist(err) {
			t.Errorf("a key that does not open the studio lies there: %v", err)
		}
		b.Must(put(other, right))
		opened(t, b, b.Path, other)
		if d := changed(before, cells(t, b)); len(d) > 0 {
			t.Errorf("without its key was changed: %v", d)
		}

		// A copy needs the key as well.
		at := filepath.Join(t.TempDir(), "studio.db")
		r := studio.New(opened(t, b, at, filepath.Join(t.TempDir(), "none.key")), studio.Options{Clock: b.Clock.Now})
		b.Refused(house.Restore(b.Ctx, r, bytes.NewReader(copied.Bytes())), fault.Refused, "", "in cipher")
		b.Must(os.WriteFile(key, right, 0o600))
		r = studio.New(opened(t, b, filepath.Join(t.TempDir(), "studio.db"), key), studio.Options{Clock: b.Clock.Now})
		b.Must(house.Restore(b.Ctx, r, bytes.NewReader(copied.Bytes())))
		if v, err := buyers.Buyer(b.Ctx, r, one.BuyerData.ID); err != nil || v.Name != "Odo Fenwright" {
			t.Errorf("restored: %q %v", v.Name, err)
		}

		// A cell that is put elsewhere is found.
		db := raw(t, b)
		_, err = db.Exec(fmt.Sprintf(`UPDATE buyers SET name = (SELECT name FROM buyers WHERE id = %d) WHERE id = %d`, two.BuyerData.ID, one.BuyerData.ID))
		b.Must(err)
		reopen(t, b, key)
		if _, err := buyers.Buyer(b.Ctx, b.Studio, one.BuyerData.ID); err == nil || !strings.Contains(bed.Deep(err), "damaged") {
			t.Errorf("a name of another row is read: %v", err)
		}
		found, err := house.Check(b.Ctx, b.Studio)
		b.Must(err)
		if len(found) == 0 {
			t.Error("check finds nothing of a cell that was put elsewhere")
		}
	})
}
