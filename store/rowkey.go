package store

import (
	"context"
	"crypto/rand"
	"errors"
	"io/fs"
	"log/slog"
	"os"

	"solander/fault"
	"solander/record/keyfile"
	"solander/sealog"
	"solander/store/digests"
	"solander/store/sqlite"
	"solander/store/vouch"
	"solander/studio"
	"solander/upkeep"
)

// rowKeyTail is behind the name of the studio's file in that of the key by which its rows are vouched for.
const rowKeyTail = "-row-key"

// nextTail is behind the name of a key that is put in its place once the store knows it.
const nextTail = ".next"

// RowKeyFile is where the key lies by which the rows of a studio at a place are vouched for; "" = there is no place for one.
func RowKeyFile(place string, opt Options) string {
	if path, err := sqlite.Path(place); opt.RowKey == "" && !isPostgres(place) && err == nil {
		return path + rowKeyTail
	}
	return opt.RowKey
}

// rowKey reads a key's file: there, also when it cannot be read; the key is nil then.
func (s *store) rowKey(file string) (k *vouch.Key, there bool) {
	body, there, err := keyfile.Read(file)
	if err != nil || !there {
		return nil, err != nil
	}
	text, err := keyfile.OpenText(body, keyfile.Opener(s.opt.UserKey))
	if err != nil {
		return nil, true
	}
	k, _ = vouch.Parse(text) // what is no key is none
	return k, true
}

// newRowKey makes a key, as the one that is about to take its place; sealed to the file of this user, where it is for this machine alone.
func (s *store) newRowKey() (*vouch.Key, error) {
	secret := make([]byte, vouch.SecretSize)
	rand.Read(secret) // never fails: crypto/rand
	k, err := vouch.New(secret)
	if err != nil {
		return nil, err
	}
	seals := ""
	if !s.shared {
		seals = keyfile.MakeOpener(s.opt.UserKey)
	}
	body, err := keyfile.SealText(vouch.Text(secret), seals)
	if err != nil {
		return nil, err
	}
	return k, keyfile.Write(s.opt.RowKey+nextTail, body, false)
}

// by is by what rows are vouched for by this program.
func (s *store) by() digests.By {
	k := s.rows.Load()
	if k == nil {
		return digests.By{}
	}
	by := *k
	if by.Place {
		by.Again = s.rowKeyAgain
	}
	return by
}

// rowKeyAgain looks for a key where it lies; nil when it is not there.
func (s *store) rowKeyAgain(id string) *vouch.Key {
	k, there := s.rowKey(s.opt.RowKey)
	if k == nil || k.ID != id {
		return nil
	}
	s.rows.Store(&digests.By{Key: k, There: there, Place: true})
	return k
}

// findsRows finds the key of the rows. A key that is not there, or cannot be read, keeps nothing shut: what this program writes then is vouched for by
// nobody, and a check says so. begin vouches for the rows of a studio that has no key yet.
func (s *store) findsRows(ctx context.Context) (begin func(context.Context) error, err error) {
	file, nothing := s.opt.RowKey, func(context.Context) error { return nil }
	if file == "" || s.opt.Hasty {
		return nothing, nil
	}
	k, there := s.rowKey(file)
	s.rows.Store(&digests.By{Key: k, There: there, Place: true})
	var key string
	var sealed, none bool
	err = s.read(ctx, func(t *tx) (err error) {
		key, sealed, none, err = t.ByWhom()
		return err
	})
	switch {
	case err != nil:
		return nothing, err
	case key != "":
		return nothing, s.findRowKey(ctx, key)
	case !none && (there || sealed): // the sums are gone: the check tells
		return nothing, nil
	}
	return func(ctx context.Context) error {
		err := s.takeOn(ctx, vouch.Earlier, nil)
		if fault.Is(err, fault.Refused) {
			return nil // it may only be read, or there is no room: that must not keep it shut
		}
		return err
	}, nil
}

// findRowKey looks for a key: where it lies, or where it lay before it took its place.
func (s *store) findRowKey(ctx context.Context, id string) error {
	file := s.opt.RowKey
	k, there := s.rowKey(file)
	if k == nil || k.ID != id {
		if next, _ := s.rowKey(file + nextTail); next != nil && next.ID == id {
			if err := os.Rename(file+nextTail, file); err != nil && !errors.Is(err, fs.ErrNotExist) {
				return err
			}
			k, there = next, true
		}
	}
	s.rows.Store(&digests.By{Key: k, There: there, Place: true})
	if k == nil || k.ID != id {
		slog.WarnContext(ctx, "the key by which rows are vouched for is not here, or cannot be read: rows that are written now are vouched for by nobody", "file", file, "key", id)
	}
	return nil
}

// takeOn vouches for all rows as they stand, and does more in the same transaction. Of a studio in which nothing was written yet nothing is taken on: its rows
// are vouched for from the first on.
func (s *store) takeOn(ctx context.Context, why vouch.Why, more func(studio.Tx) error) error {
	file := s.opt.RowKey
	made := false
	other := ""
	err := s.write(ctx, func(t *tx) error {
		key, _, none, err := t.ByWhom()
		if err != nil {
			return err
		}
		if other = key; key != "" && why != vouch.Said {
			return nil // another program was quicker
		}
		k, there := s.rowKey(file)
		if made = k == nil; made {
			if there {
				err = keyfile.Aside(file)
			}
			if err == nil {
				k, err = s.newRowKey()
			}
			if err != nil {
				return err
			}
		}
		if none {
			why = ""
		}
		t.TakeOn(k, why)
		if other = k.ID; more != nil {
			err = more(t)
		}
		if err == nil && s.opt.Hasty { // no end of a transaction does
			err = t.KeepDigests()
		}
		return err
	})
	if err != nil {
		return err
	}
	if made {
		if err := os.Rename(file+nextTail, file); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	return s.findRowKey(ctx, other)
}

// vouchedFor vouches for all rows of a studio that was filled in haste by this program: from the first on.
func (s *store) vouchedFor(ctx context.Context) error {
	if s.opt.RowKey == "" || !s.opt.Hasty || !s.opt.Story {
		return nil
	}
	_, there := s.rowKey(s.opt.RowKey)
	var key string
	err := s.read(ctx, func(t *tx) (err error) {
		key, _, _, err = t.ByWhom()
		return err
	})
	if err != nil || key != "" || there {
		return err
	}
	return s.takeOn(upkeep.WhileLeaving(ctx), "", nil)
}

// unvouched reports whether nothing was written yet of which a digest is kept, and nobody vouches for rows.
func (s *store) unvouched(ctx context.Context) (is bool, err error) {
	err = s.read(ctx, func(t *tx) error {
		key, sealed, none, err := t.ByWhom()
		is = key == "" && !sealed && none
		return err
	})
	return is, err
}

// vouchForMade vouches for the rows of a studio that this program made just now: from the first on, unless it put a copy in.
func vouchForMade(ctx context.Context, place string, opt Options, copied bool) error {
	if opt.Hasty || RowKeyFile(place, opt) == "" {
		return nil
	}
	s, err := open(ctx, place, opt, true)
	if err != nil {
		return err
	}
	why := vouch.Why("")
	if copied {
		why = vouch.Copied
	}
	return errors.Join(s.takeOn(ctx, why, nil), s.Close())
}

// VouchRows takes all rows on as they stand; see studio.Store.
func (s *store) VouchRows(ctx context.Context, more func(studio.Tx) error) error {
	if s.opt.RowKey == "" {
		return fault.New(fault.Refused, "there is no place for the key of the rows").ToMend("set SOLANDER_ROW_KEY to a file that does not lie on the database server")
	}
	return s.takeOn(ctx, vouch.Said, more)
}

// Vouched says how the rows are vouched for; see studio.Store.
func (s *store) Vouched(ctx context.Context) (out sealog.Vouched, err error) {
	err = s.read(ctx, func(t *tx) (err error) {
		out, err = t.Vouched()
		return err
	})
	out.File, out.Place = s.opt.RowKey, s.opt.RowKey != ""
	return out, err
}
