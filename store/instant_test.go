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

// TestStoryFollowsTheClock takes three numbers within one transaction while the clock goes on, and back: each entry bears its instant, and none
// falls. Without a story all bear the one at which the transaction began.
func TestStoryFollowsTheClock(t *testing.T) {
	noon := time.Date(2031, 3, 4, 12, 0, 0, 0, time.UTC)
	for engine, places := range engines {
		for story, want := range map[bool][]int{true: {0, 24, 24}, false: {0, 0, 0}} {
			t.Run(engine, func(t *testing.T) {
				now := noon
				s, err := Open(t.Context(), places(t)(t), Options{Clock: func() time.Time { return now }, Story: story})
				if err != nil {
					t.Fatal(err)
				}
				defer s.Close()
				var got []edition.Entry
				var marks []studio.Mark
				err = s.Write(t.Context(), func(tx studio.Tx) error {
					now = noon // the engine may ask for another try
					h, err := bed.Furnish(tx)
					if err != nil {
						return err
					}
					ed, err := tx.Declare(h.Print(4))
					if err != nil {
						return err
					}
					got = nil
					for _, hours := range []int{0, 24, -3} {
						now = now.Add(time.Duration(hours) * time.Hour)
						e, err := h.Take(tx, ed)
						if err != nil {
							return err
						}
						got = append(got, e)
						if _, err := tx.AddMark(studio.Mark{Kind: studio.MarkOther, Text: "taken", Detail: []byte("null")}); err != nil {
							return err
						}
					}
					marks, err = tx.MarksAfter(0, 9)
					return err
				})
				if err != nil {
					t.Fatal(err)
				}
				if len(got) != len(want) || len(marks) != len(want) {
					t.Fatalf("%d entries and %d marks, want %d each", len(got), len(marks), len(want))
				}
				for i, hours := range want {
					if at := noon.Add(time.Duration(hours) * time.Hour); !got[i].At.Equal(at) {
						t.Errorf("story %v: entry %d is of %v, want %v", story, i+1, got[i].At, at)
					}
				}
				if last := marks[2].At; story != last.Equal(noon.Add(21*time.Hour)) {
					t.Errorf("story %v: the last mark is of %v", story, last)
				}
				if found, err := s.Integrity(t.Context()); err != nil || len(found) > 0 {
					t.Errorf("%q %v", found, err)
				}
			})
		}
	}
}
