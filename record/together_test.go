package record_test

import (
	"encoding/json"
	"path/filepath"
	"sync"
	"testing"

	"solander/internal/pgtest"
	"solander/record"
	"solander/sealog"
	"solander/store"
	"solander/studio"
	"solander/studio/storetest/bed"
)

// Two servers on one PostgreSQL add to the log and sign it at once: no leaf is lost, none twice, and every signature holds all that was signed
// before it.
func TestTwoServersOneLog(t *testing.T) {
	const each, signed = 40, 10
	place, key := pgtest.New(t), filepath.Join(t.TempDir(), "register.key")
	var servers [2]*studio.Studio
	for i := range servers {
		s, err := store.Open(t.Context(), place, store.Options{RegisterKey: key})
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { s.Close() })
		servers[i] = studio.New(s, studio.Options{})
	}
	h := bed.Furnished(t, servers[0].Store)
	ed := h.Declare(t, servers[0].Store, 2*each)
	if _, err := record.Sign(t.Context(), servers[0], ""); err != nil { // the key is there
		t.Fatal(err)
	}
	before, err := record.Stands(t.Context(), servers[0])
	if err != nil {
		t.Fatal(err)
	}
	sealsBefore := seals(t, servers[0])
	var all sync.WaitGroup
	for _, st := range servers {
		all.Go(func() {
			for n := range each {
				err := st.Store.Write(t.Context(), func(tx studio.Tx) error { _, err := h.Take(tx, ed); return err })
				if err == nil && n%signed == 0 {
					_, err = record.Sign(t.Context(), st, "")
				}
				if err != nil {
					t.Error(err)
					return
				}
			}
		})
	}
	all.Wait()
	proven, err := record.Verify(t.Context(), servers[1], nil, nil)
	if err != nil || len(proven.Found) > 0 || proven.Logs != 1 {
		t.Fatalf("%+v %v", proven, err)
	}
	sealsAfter := seals(t, servers[0])
	if taken := proven.Leaves - before.Log.Size - int64(sealsAfter-sealsBefore); taken != 2*each {
		t.Errorf("%d leaves of numbers, not %d", taken, 2*each)
	}
	files, err := record.Publish(t.Context(), servers[1], "") // it looks at the proof of each signature and the next
	if err != nil {
		t.Fatal(err)
	}
	var data record.Published
	for _, f := range files {
		if f.Path == "record.json" {
			if err := json.Unmarshal(f.Body, &data); err != nil {
				t.Fatal(err)
			}
		}
	}
	if n := len(data.Logs[0].Checkpoints); n < 2*each/signed || len(data.Logs[0].Consistency) != n-1 {
		t.Errorf("%d signatures, %d proofs that one holds the other", n, len(data.Logs[0].Consistency))
	}
}

// seals are the leaves of the log that seal the rows beside the register.
func seals(t *testing.T, st *studio.Studio) (n int) {
	t.Helper()
	err := st.Store.Read(t.Context(), func(tx studio.Tx) error {
		all, err := tx.LeavesOf(sealog.DaySeal, 0)
		n = len(all)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return n
}
