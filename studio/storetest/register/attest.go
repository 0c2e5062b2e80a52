package register

import (
	"testing"

	"solander/certificate"
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
			if both[i], err = bed.Ending(tx, both[i]); err != nil {
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

func certified(t *testing.T, s studio.Store, ed int64) []certificate.Kept {
	t.Helper()
	both := make([]certificate.Kept, 2)
	bed.Write(t, s, func(tx studio.Tx) (err error) {
		for i := range both {
			if both[i], err = bed.Certified(tx, ed, int64(i)); err != nil {
				return err
			}
		}
		return nil
	})
	return both
}

// certificatesKept: serials rise by one, and a certificate is ended once.
func certificatesKept(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 3)
	bed.Read(t, s, func(tx studio.Tx) error {
		n, err := tx.LastSerial()
		bed.Same(t, "the last serial of none", int64(0), n)
		return err
	})
	both := certified(t, s, ed)
	end := certificate.End{Certificate: both[0].ID, FollowedBy: both[1].ID, Reason: "framed anew", Day: bed.Today, Who: "Ada"}
	bed.Write(t, s, func(tx studio.Tx) (err error) {
		end, err = bed.Ended(tx, end)
		return err
	})
	bed.Refused(t, s, fault.Taken, func(tx studio.Tx) error { _, err := tx.AddCertificateEnd(end); return err })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.AddCertificateEnd(certificate.End{Certificate: 9}); return err })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.Certificate(9); return err })
	bed.Read(t, s, func(tx studio.Tx) error {
		last, err := tx.LastSerial()
		bed.Same(t, "the last serial", both[1].ID, last)
		if err != nil {
			return err
		}
		one, err := tx.Certificate(both[1].ID)
		bed.Same(t, "one", both[1], one)
		if err != nil {
			return err
		}
		ends, err := tx.CertificateEnds()
		bed.Same(t, "ends", map[int64]certificate.End{both[0].ID: end}, ends)
		if err != nil {
			return err
		}
		for what, n := range map[string]edition.Number{"of the edition": {}, "of the number": both[0].Number} {
			got, err := tx.Certificates(ed, n)
			bed.Same(t, what, both, got)
			if err != nil {
				return err
			}
		}
		none, err := tx.Certificates(ed, edition.Number{Kind: edition.AP, N: 1})
		bed.Same(t, "of another number", 0, len(none))
		return err
	})
	bed.Sound(t, s)
}

// transfersKept: what was told stands; who told it goes.
func transfersKept(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 3)
	both := certified(t, s, ed)
	told := []certificate.Transfer{
		{Edition: ed, Number: both[0].Number, Certificate: both[1].ID, Told: certificate.Resold, Day: bed.Today, Who: "Ada"},
		{Edition: ed, Number: both[0].Number, Certificate: both[1].ID, Told: certificate.Lost, Day: bed.Today, Who: "Ada"},
	}
	owners := []certificate.Owner{{Salt: "salt", Name: "Oren Kessler", Note: "“by post”"}, {Salt: "salt"}}
	bed.Write(t, s, func(tx studio.Tx) (err error) {
		for i := range told {
			if told[i], err = bed.Told(tx, told[i], owners[i]); err != nil {
				return err
			}
		}
		return nil
	})
	told[0].Words = certificate.Erased
	bed.Write(t, s, func(tx studio.Tx) error {
		stays, err := tx.ForgetTransfer(told[0].ID)
		bed.Same(t, "what stays", told[0], stays)
		return err
	})
	bed.Read(t, s, func(tx studio.Tx) error {
		got, err := tx.Transfers(ed, both[0].Number)
		bed.Same(t, "transfers", told, got)
		return err
	})
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.ForgetTransfer(9); return err })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.AddTransfer(certificate.Transfer{Certificate: 9}); return err })
	bed.Sound(t, s)
}
