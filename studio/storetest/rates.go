package storetest

import (
	"testing"

	"solander/exchange"
	"solander/fault"
	"solander/ledger"
	"solander/money"
	"solander/order"
	"solander/studio"
	"solander/studio/storetest/bed"
)

// ratesKept: a rate takes the place of the one of its pair and day, and the same again is nothing new.
func ratesKept(t *testing.T, s studio.Store) {
	bed.Furnished(t, s)
	rate := func(quote, rate string, back int) exchange.Rate {
		return exchange.Rate{Base: "EUR", Quote: quote, Day: bed.Today.Add(-back), Rate: rate, Who: "Ines"}
	}
	for _, step := range []struct {
		rates []exchange.Rate
		new   int
	}{
		{[]exchange.Rate{rate("USD", "1.25", 0), rate("JPY", "160", 0), rate("USD", "1.2", 3)}, 3},
		{[]exchange.Rate{rate("USD", "1.25", 0), rate("JPY", "161", 0)}, 1},
		{nil, 0},
	} {
		bed.Write(t, s, func(tx studio.Tx) error {
			n, err := tx.SaveRates(step.rates)
			bed.Same(t, "new", step.new, n)
			return err
		})
	}
	bed.Read(t, s, func(tx studio.Tx) error {
		all, err := tx.Rates(bed.Today.Add(-3), bed.Today)
		var got []string
		for _, r := range all {
			got = append(got, r.Quote+" "+r.Rate)
		}
		bed.Same(t, "the latest first", []string{"JPY 161", "USD 1.25", "USD 1.2"}, got)
		return err
	})
}

// agreedKept: the latest agreement of an order counts, one of nothing ends it; how a payment came is kept once, and the journal follows it.
func agreedKept(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	var o, payment int64
	bed.Write(t, s, func(tx studio.Tx) error {
		ed, err := tx.Declare(h.Print(4))
		if err != nil {
			return err
		}
		e, err := h.Take(tx, ed)
		if err != nil {
			return err
		}
		taken, err := tx.OrderByLine(e.After.Line)
		if err != nil {
			return err
		}
		o = taken.ID
		if payment, err = tx.AddPayment(order.Payment{Order: o, Kind: order.Deposit, Amount: bed.USD(1_00), Day: bed.Today}); err != nil {
			return err
		}
		return bed.Abroad(tx, o, payment)
	})
	agreed := func() (a exchange.Agreed) {
		bed.Read(t, s, func(tx studio.Tx) (err error) { a, err = tx.AgreedOf(o); return err })
		return a
	}
	bed.Same(t, "agreed", money.Of(80_00, "EUR"), agreed().Total)
	for _, minor := range []int64{90_00, 0} {
		bed.Write(t, s, func(tx studio.Tx) error {
			_, err := tx.AddAgreed(exchange.Agreed{Order: o, Total: money.Of(minor, "EUR"), Book: bed.USD(100_00), Day: bed.Today})
			return err
		})
		bed.Same(t, "stands", minor > 0, agreed().Stands())
		bed.Read(t, s, func(tx studio.Tx) error {
			all, err := tx.AgreedOfAll([]int64{99, o})
			if err != nil {
				return err
			}
			open, err := tx.AgreedOpen()
			want := map[int64]exchange.Agreed{}
			if minor > 0 {
				want[o] = agreed()
			}
			bed.Same(t, "of many", want, all)
			bed.Same(t, "of those that are open", want, open)
			return err
		})
	}
	bed.Refused(t, s, fault.Taken, func(tx studio.Tx) error {
		_, err := tx.AddCame(exchange.Came{Payment: payment, Order: o, Amount: money.Of(1, "EUR"), Worth: bed.USD(1)})
		return err
	})
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error {
		_, err := tx.AddAgreed(exchange.Agreed{Order: 99, Total: money.Of(1, "EUR"), Book: bed.USD(1), Day: bed.Today})
		return err
	})
	bed.Read(t, s, func(tx studio.Tx) error {
		all, err := tx.CameOf()
		if err != nil {
			return err
		}
		of, err := tx.CameOf(o, 99)
		bed.Same(t, "of all and of one", all, of)
		bed.Same(t, "worth", bed.USD(1_02), of[0].Worth)
		return err
	})
	// Worked by hand: 1.02 came for 1.00 that was settled, so that 0.02 is gained.
	bed.Read(t, s, func(tx studio.Tx) error {
		sums, err := tx.Sums("", "")
		got := map[string]int64{}
		for _, x := range sums {
			got[x.Account] += x.Amount.Minor
		}
		bed.Same(t, "journal", map[string]int64{ledger.AtOutlets: 1_02, ledger.Deposits: -1_00, ledger.Exchange: -2}, got)
		return err
	})
}
