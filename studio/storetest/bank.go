package storetest

import (
	"testing"

	"solander/bankfile"
	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/studio"
	"solander/studio/storetest/bed"
)

// bankKept: a line is known again by its key, a file by its bytes; a payment has one line; what the payment's reversal opens is open again.
func bankKept(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 5)
	bed.Write(t, s, func(tx studio.Tx) error { return bed.Everything(tx, h, ed) })
	var paid []order.Payment
	bed.Read(t, s, func(tx studio.Tx) (err error) {
		paid, err = tx.Unbanked(bed.Today.Add(-1), bed.Today)
		bed.Same(t, "payments without a line", 0, len(paid))
		return err
	})
	bed.Write(t, s, func(tx studio.Tx) error {
		o, err := tx.OrderByMark("S-1001")
		if err != nil {
			return err
		}
		_, err = tx.AddPayment(order.Payment{Order: o.ID, Kind: order.Deposit, Amount: bed.USD(7), Day: bed.Today})
		return err
	})
	line := func(tx studio.Tx, id int64) bankfile.Kept {
		l, err := tx.BankLine(id)
		if err != nil {
			t.Fatal(err)
		}
		return l
	}
	bed.Read(t, s, func(tx studio.Tx) (err error) {
		paid, err = tx.Unbanked(bed.Today, bed.Today)
		bed.Same(t, "payments without a line", 1, len(paid))
		all, err2 := tx.BankLines(bankfile.Query{Account: 1})
		bed.Same(t, "lines, newest first", []string{"k2", "k1"}, []string{all[0].Key, all[1].Key})
		bed.Same(t, "of one file", 2, len(all))
		known, err3 := tx.KnownBankKeys(1, []string{"k1", "k9"})
		bed.Same(t, "known keys", map[string]bool{"k1": true}, known)
		bed.Same(t, "the mark of the order", "S-1001", line(tx, 1).Mark)
		for _, e := range []error{err2, err3} {
			if e != nil {
				return e
			}
		}
		return err
	})
	bed.Refused(t, s, fault.Taken, func(tx studio.Tx) error {
		return tx.SayBankLine(bankfile.Kept{ID: 2, State: bankfile.Matched, Payment: line(tx, 1).Payment})
	})
	bed.Refused(t, s, fault.Taken, func(tx studio.Tx) error {
		_, err := tx.AddBankFile(bankfile.Brought{Account: 1, Name: "again", Hash: "aa", Kind: bankfile.OFX}, nil)
		return err
	})
	bed.Refused(t, s, fault.Taken, func(tx studio.Tx) error {
		_, err := tx.SaveBankAccount(bankfile.Account{Name: "Current", Currency: "EUR"})
		return err
	})
	bed.Write(t, s, func(tx studio.Tx) error { return tx.ReversePayment(line(tx, 1).Payment) })
	bed.Read(t, s, func(tx studio.Tx) error {
		l := line(tx, 1)
		bed.Same(t, "open again", bankfile.Kept{State: bankfile.Open}, bankfile.Kept{State: l.State, Payment: l.Payment, Order: l.Order, Mark: l.Mark})
		sums, err := tx.BankSums()
		bed.Same(t, "sums", []bankfile.Sums{{Account: 1, State: bankfile.Open, Lines: 2, Amount: money.Of(-4, "USD")}}, sums)
		return err
	})
	bed.Write(t, s, func(tx studio.Tx) error {
		return tx.SayBankLine(bankfile.Kept{ID: 2, State: bankfile.Matched, Payment: paid[0].ID, Who: "Ines", At: tx.Now()})
	})
	bed.Read(t, s, func(tx studio.Tx) error {
		left, err := tx.Unbanked(bed.Today, bed.Today)
		bed.Same(t, "payments without a line", 0, len(left))
		bed.Same(t, "matched", paid[0].ID, line(tx, 2).Payment)
		return err
	})
	bed.Write(t, s, func(tx studio.Tx) error {
		if err := tx.SayBankLine(bankfile.Kept{ID: 2, State: bankfile.Aside, Why: "a fee"}); err != nil {
			return err
		}
		return tx.DropBankFile(1)
	})
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.BankLine(2); return err })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { return tx.DropBankFile(1) })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.Payment(999_999); return err })
}
