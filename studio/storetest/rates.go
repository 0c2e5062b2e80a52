package storetest

import (
	"testing"

	"solander/exchange"
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
