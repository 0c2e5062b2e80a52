package moving_test

import (
	"context"
	"errors"
	"io"
	"path/filepath"
	"testing"
	"time"

	"go.uber.org/goleak"

	"solander/fault"
	"solander/internal/bed"
	"solander/internal/pgtest"
	"solander/moving"
	"solander/store"
	"solander/studio"
)

func TestMain(m *testing.M) { goleak.VerifyTestMain(m) }

func opened(t *testing.T, place string) studio.Store {
	t.Helper()
	st, err := store.Open(t.Context(), place, store.Options{Away: time.Second})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = st.Close() })
	return st
}

func digestOf(t *testing.T, st studio.Store) moving.Digest {
	t.Helper()
	d, err := moving.DigestOf(t.Context(), st)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// furnished is a studio with orders.
func furnished(t *testing.T) studio.Store {
	t.Helper()
	b := bed.New(t)
	for range 5 {
		b.Take(b.Sale())
	}
	return b.Studio.Store
}

// change changes one letter in one row.
func change(t *testing.T, st studio.Store) {
	t.Helper()
	err := st.Write(t.Context(), func(tx studio.Tx) error {
		o, err := tx.Order(1)
		if err != nil {
			return err
		}
		o.Note += "x"
		return tx.SaveOrder(o)
	})
	if err != nil {
		t.Fatal(err)
	}
}

// A studio goes from its file to a server, from there behind a pooler, and back into a file: every time the same digest is read, which is another
// one when one letter of one row is.
func TestMovedThereAndBack(t *testing.T) {
	st := furnished(t)
	first := digestOf(t, st)
	if first.Rows < 50 || first.Tables < 30 {
		t.Fatalf("it comes to %+v", first)
	}
	for _, place := range []string{pgtest.New(t), pgtest.Pooled(t, pgtest.New(t)), filepath.Join(t.TempDir(), "back.db")} {
		to := opened(t, place)
		d, err := moving.Move(t.Context(), st, to)
		if err != nil || d != first || digestOf(t, to) != first {
			t.Fatalf("moved to %s: %+v, want %+v: %v", to.Place(), d, first, err)
		}
		if found, err := to.Integrity(t.Context()); err != nil || len(found) != 0 {
			t.Errorf("%s: %v %v", to.Place(), found, err)
		}
		if _, err := moving.Move(t.Context(), st, to); !fault.Is(err, fault.Refused) || digestOf(t, to) != first {
			t.Errorf("moved once more to the same place: %v", err)
		}
		st = to
	}
	change(t, st)
	if digestOf(t, st) == first {
		t.Error("one letter more, and the digest is the same")
	}
}

// breaking is a store of which a copy breaks off, or which is written to while it is read.
type breaking struct {
	studio.Store
	after int // bytes
	then  func() error
}

func (b breaking) Dump(ctx context.Context, w io.Writer) error {
	return b.Store.Dump(ctx, &cut{w, b.after, b.then})
}

type cut struct {
	io.Writer
	left int
	then func() error
}

// Write hands on a little at a time, so that the other end has taken what came before.
func (c *cut) Write(p []byte) (n int, err error) {
	for n < len(p) && err == nil {
		if c.left -= 256; c.left <= 0 && c.then != nil {
			then := c.then
			c.then = nil
			if err := then(); err != nil {
				return n, err
			}
		}
		var m int
		m, err = c.Writer.Write(p[n:min(n+256, len(p))])
		n += m
	}
	return n, err
}

var errDisk = errors.New("the disk of the old place failed")

// Whatever breaks a move, at whatever point, nothing stands at the new place, or everything, and what is said is so; then it can be moved again.
func TestABrokenMoveLeavesNothingOrAll(t *testing.T) {
	old, whole, outer := furnished(t), moving.Digest{}, t
	whole = digestOf(t, old)
	place := pgtest.New(t)
	line := pgtest.NewLine(t, place)
	empty := digestOf(t, opened(t, place))
	for what, c := range map[string]struct {
		from func() studio.Store
		code fault.Code // "" = any
		all  bool       // everything stands all the same
	}{
		"the old place fails at its beginning":  {from: func() studio.Store { return breaking{old, 1, func() error { return errDisk }} }},
		"the old place fails later":             {from: func() studio.Store { return breaking{old, 2000, func() error { return errDisk }} }},
		"the server goes away at the beginning": {from: func() studio.Store { return breaking{old, 1, func() error { line.Cut(); return nil }} }, code: fault.Busy},
		"the server goes away later":            {from: func() studio.Store { return breaking{old, 3000, func() error { line.Cut(); return nil }} }, code: fault.Busy},
		"the server never hears of the end":     {from: func() studio.Store { line.CutAtCommit(false); return old }, code: fault.Unsure},
		"the server's last word is lost":        {from: func() studio.Store { line.CutAtCommit(true); return old }, code: fault.Unsure, all: true},
		"it is written to meanwhile": {from: func() studio.Store {
			return breaking{old, 2000, func() error { change(t, old); return nil }}
		}, code: fault.Refused},
	} {
		t.Run(what, func(t *testing.T) {
			to := opened(t, line.DSN)
			_, err := moving.Move(t.Context(), c.from(), to)
			if err == nil || c.code != "" && !fault.Is(err, c.code) {
				t.Errorf("it says %v", err)
			}
			if err := line.Mend(); err != nil {
				t.Fatal(err)
			}
			_ = to.Close() // its line was cut
			want := empty
			if c.all {
				want = whole
			}
			straight := opened(t, place)
			if got := digestOf(t, straight); got != want {
				t.Errorf("it left %+v, want %+v", got, want)
			}
			if c.all {
				place = pgtest.New(outer)
				line = pgtest.NewLine(outer, place)
				return
			}
			if what == "it is written to meanwhile" {
				whole = digestOf(t, old)
			}
		})
	}
	if d, err := moving.Move(t.Context(), old, opened(t, line.DSN)); err != nil || d != whole {
		t.Errorf("moved in the end: %+v %v", d, err)
	}
}
