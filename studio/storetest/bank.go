package storetest

import (
	"testing"

	"solander/bankfile"
	"solander/fault"
	"solander/ledger"
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

// bankedOtherwise: a line is a payout or money of a gallery, one thing at a time; when that is taken back it is open again, and so is the money in
// the journal.
func bankedOtherwise(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 5)
	bed.Write(t, s, func(tx studio.Tx) error {
		if _, err := h.Take(tx, ed); err != nil {
			return err
		}
		if _, err := tx.AddPayment(order.Payment{Order: 1, Kind: order.Deposit, Amount: bed.USD(7), Day: bed.Today}); err != nil {
			return err
		}
		if err := bed.Galleries(tx, h, ed); err != nil {
			return err
		}
		if err := bed.Banked(tx, 1); err != nil {
			return err
		}
		_, err := bed.PaidOut(tx, h, 1)
		return err
	})
	free := func(tx studio.Tx) (payouts, moneys int) {
		p, err := tx.UnbankedPayouts(bed.Today, bed.Today)
		bed.Same(t, "no error", nil, err)
		m, err := tx.UnbankedMoneys(bed.Today, bed.Today)
		bed.Same(t, "no error", nil, err)
		return len(p), len(m)
	}
	is := func(what string, payouts, moneys int, atBank int64) {
		t.Helper()
		got, _ := balances(t, s)
		bed.Same(t, what+", at the bank", atBank, got[ledger.Bank])
		bed.Read(t, s, func(tx studio.Tx) error {
			p, m := free(tx)
			bed.Same(t, what, []int{payouts, moneys}, []int{p, m})
			in, err := tx.BankedOrders([]int64{1})
			bed.Same(t, "the order whose payment is at the bank", []int64{1}, in)
			return err
		})
	}
	say := func(k bankfile.Kept) func(studio.Tx) error {
		return func(tx studio.Tx) error {
			k.ID, k.State, k.Who, k.At = 2, bankfile.Matched, "Ines", tx.Now()
			return tx.SayBankLine(k)
		}
	}
	is("with neither", 1, 1, 1)
	bed.Write(t, s, say(bankfile.Kept{Payout: 1}))
	is("with the payout", 0, 1, -4)
	bed.Read(t, s, func(tx studio.Tx) error {
		l, err := tx.BankLine(2)
		bed.Same(t, "what it is", "payout 1 of Spring fair", l.Is())
		return err
	})
	bed.Write(t, s, func(tx studio.Tx) error { return tx.TakePayoutBack(1) })
	is("when it is taken back", 0, 1, 1)
	bed.Write(t, s, say(bankfile.Kept{Money: 1}))
	is("with the gallery's money", 0, 0, -4)
	bed.Read(t, s, func(tx studio.Tx) error {
		l, err := tx.BankLine(2)
		bed.Same(t, "what it is", "money of Harbour Room", l.Is())
		return err
	})
	bed.Write(t, s, func(tx studio.Tx) error { return tx.ReverseGalleryMoney(1) })
	is("when that is taken back, too", 0, 0, 1)
	bed.Read(t, s, func(tx studio.Tx) error {
		l, err := tx.BankLine(2)
		bed.Same(t, "open again", []any{bankfile.Open, ""}, []any{l.State, l.Is()})
		return err
	})
}
