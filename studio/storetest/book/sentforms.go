package book

import (
	"fmt"
	"testing"
	"time"

	"solander/fault"
	"solander/studio"
	"solander/studio/storetest/bed"
)

// sentFormsKept goes by count: neither how old a form is nor which way the clock goes makes it be forgotten.
func sentFormsKept(t *testing.T, s studio.Store) {
	at := time.Date(2031, 3, 4, 5, 6, 7, 8000, time.UTC)
	var want studio.SentForm
	bed.Write(t, s, func(tx studio.Tx) error {
		mark, err := tx.AddMark(studio.Mark{Kind: studio.MarkOther, Text: "x"})
		if err != nil {
			return err
		}
		want = studio.SentForm{Key: "k0", Print: "p", Mark: mark, At: at}
		return tx.AddSentForm(want, 3)
	})
	bed.Read(t, s, func(tx studio.Tx) error {
		got, err := tx.SentForm("k0")
		bed.Same(t, "a form", want, got)
		return err
	})
	bed.Refused(t, s, fault.Taken, func(tx studio.Tx) error { return tx.AddSentForm(studio.SentForm{Key: "k0", At: at}, 3) })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { return tx.AddSentForm(studio.SentForm{Key: "other", Mark: 99, At: at}, 3) })
	for i := 1; i <= 3; i++ {
		bed.Write(t, s, func(tx studio.Tx) error {
			return tx.AddSentForm(studio.SentForm{Key: fmt.Sprint("k", i), At: at.AddDate(-i, 0, 0)}, 3)
		})
	}
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.SentForm("k0"); return err })
	bed.Read(t, s, func(tx studio.Tx) error {
		for i := 1; i <= 3; i++ {
			if _, err := tx.SentForm(fmt.Sprint("k", i)); err != nil {
				return err
			}
		}
		return nil
	})
}
