package store

import (
	"testing"
	"time"

	"solander/edition"
	"solander/studio"
	"solander/studio/storetest/bed"
)

// TestInstantsDoNotFall sets the clock back between two entries of the register: the later one is not from an earlier
// instant.
func TestInstantsDoNotFall(t *testing.T) {
	for engine, places := range engines {
		t.Run(engine, func(t *testing.T) {
			now := time.Date(2031, 3, 4, 12, 0, 0, 0, time.UTC)
			s, err := Open(t.Context(), places(t)(t), Options{Clock: func() time.Time { return now }})
			if err != nil {
				t.Fatal(err)
			}
			defer s.Close()
			var h bed.House
			var ed int64
			err = s.Write(t.Context(), func(tx studio.Tx) (err error) {
				if h, err = bed.Furnish(tx); err != nil {
					return err
				}
				ed, err = tx.Declare(h.Print(4))
				return err
			})
			if err != nil {
				t.Fatal(err)
			}
			var got []edition.Entry
			for _, hours := range []int{0, -2, 3} {
				now = now.Add(time.Duration(hours) * time.Hour)
				err := s.Write(t.Context(), func(tx studio.Tx) error {
					e, err := h.Take(tx, ed)
					got = append(got, e)
					return err
				})
				if err != nil {
					t.Fatal(err)
				}
			}
			noon := time.Date(2031, 3, 4, 12, 0, 0, 0, time.UTC)
			for i, want := range []time.Time{noon, noon, noon.Add(time.Hour)} {
				if !got[i].At.Equal(want) {
					t.Errorf("entry %d is of %v, want %v", i+1, got[i].At, want)
				}
			}
			if found, err := s.Integrity(t.Context()); err != nil || len(found) > 0 {
				t.Errorf("%q %v", found, err)
			}
		})
	}
}
