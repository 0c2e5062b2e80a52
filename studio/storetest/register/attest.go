package register

import (
	"testing"

	"solander/disclosure"
	"solander/edition"
	"solander/fault"
	"solander/studio"
	"solander/studio/storetest/bed"
)

// sayingsKept: each saying stands beside those before it, of its own edition.
func sayingsKept(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	ed, other := h.Declare(t, s, 3), h.Declare(t, s, 3)
	said := []disclosure.Saying{
		{Edition: ed, Fact: disclosure.Signature, Said: disclosure.Stated, Words: "in pencil, “lower right”", Day: bed.Today, Who: "Ada"},
		{Edition: ed, Fact: disclosure.Posthumous, Said: disclosure.None, Day: bed.Today, Who: "Ada"},
		{Edition: ed, Fact: disclosure.Signature, Said: disclosure.Missing, Day: bed.Today.Add(1), Who: "Bo"},
	}
	bed.Write(t, s, func(tx studio.Tx) (err error) {
		for i := range said {
			said[i].At = tx.Now()
			if said[i].ID, err = tx.AddSaying(said[i]); err != nil {
				return err
			}
		}
		return nil
	})
	bed.Read(t, s, func(tx studio.Tx) error {
		got, err := tx.Sayings(ed)
		bed.Same(t, "sayings", said, got)
		if err != nil {
			return err
		}
		got, err = tx.Sayings(other)
		bed.Same(t, "of another edition", 0, len(got))
		return err
	})
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error {
		_, err := tx.AddSaying(disclosure.Saying{Edition: 99, Fact: disclosure.Year, Said: disclosure.Unknown})
		return err
	})
	bed.Sound(t, s)
}

// closingsKept: closed and cancelled are two facts of an edition, each said once.
func closingsKept(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 3)
	both := []edition.Closing{
		{Edition: ed, Fact: edition.Cancelled, Files: "the plate is struck through", Day: bed.Today, Who: "Ada"},
		{Edition: ed, Fact: edition.Closed, Files: "kept, locked", Note: "enough", Withdrawn: 2, Day: bed.Today.Add(1), Who: "Ada"},
	}
	bed.Write(t, s, func(tx studio.Tx) (err error) {
		for i := range both {
			both[i].At = tx.Now()
			if both[i].ID, err = tx.AddClosing(both[i]); err != nil {
				return err
			}
		}
		return nil
	})
	bed.Refused(t, s, fault.Taken, func(tx studio.Tx) error { _, err := tx.AddClosing(both[1]); return err })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error {
		_, err := tx.AddClosing(edition.Closing{Edition: 99, Fact: edition.Closed, Files: "x"})
		return err
	})
	bed.Read(t, s, func(tx studio.Tx) error {
		got, err := tx.Closings(ed)
		bed.Same(t, "closings", both, got)
		return err
	})
	bed.Sound(t, s)
}
