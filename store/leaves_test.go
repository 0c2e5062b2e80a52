package store

import (
	"testing"

	"golang.org/x/mod/sumdb/tlog"

	"solander/edition"
	"solander/studio"
	"solander/studio/storetest/bed"
)

// Leaves of many entries of one transaction are hashed while those before them are inserted: their tree is the one that tlog makes of their bodies, also
// after a transaction that was refused half way.
func TestManyLeavesAreHashedWhileOthersAreInserted(t *testing.T) {
	t.Parallel()
	for name, place := range untouched {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			st, err := Open(t.Context(), place(t), Options{})
			if err != nil {
				t.Fatal(err)
			}
			t.Cleanup(func() { _ = st.Close() })
			const many = 300
			ed := bed.Furnished(t, st).Declare(t, st, many)
			kept := func(tx studio.Tx) error {
				for n := range many {
					if _, err := bed.Step(tx, ed, bed.Num(n+1), edition.Keep, 0, ""); err != nil {
						return err
					}
				}
				return nil
			}
			s := st.(*store)
			err = s.write(t.Context(), func(x *tx) error {
				if err := kept(x); err != nil {
					return err
				}
				bad := entriesFrom(1, many) // the log alone is given them
				bad[many/2].Step = "\x00"
				return x.AppendEntries(bad)
			})
			if err == nil {
				t.Fatal("a leaf that no engine can hold was taken")
			}
			bed.Write(t, st, kept)
			bed.Sound(t, st)
			err = s.read(t.Context(), func(x *tx) error {
				found, err := x.VerifyLog()
				if err != nil || len(found) > 0 {
					t.Errorf("%v %v", found, err)
				}
				log, err := x.Log()
				if err != nil {
					return err
				}
				some, err := x.Leaves(log.ID, 0, int(log.Size))
				if err != nil {
					return err
				}
				var stored []tlog.Hash
				from := tlog.HashReaderFunc(func(at []int64) (out []tlog.Hash, err error) {
					for _, i := range at {
						out = append(out, stored[i])
					}
					return out, nil
				})
				for i, l := range some {
					more, err := tlog.StoredHashes(int64(i), []byte(l.Body), from)
					if err != nil {
						return err
					}
					stored = append(stored, more...)
				}
				root, err := tlog.TreeHash(int64(len(some)), from)
				if err != nil || root != log.Root || len(some) < many {
					t.Errorf("the root of %d leaves is %v, and of their bodies %v; %v", len(some), log.Root, root, err)
				}
				return nil
			})
			if err != nil {
				t.Fatal(err)
			}
		})
	}
}
