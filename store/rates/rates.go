// Package rates keeps rates of exchange.
package rates

import (
	"solander/calendar"
	"solander/exchange"
	"solander/store/table"
)

// Table is the rates.
var Table = table.Make("exchange_rates", "rate of exchange", func(r *exchange.Rate) table.Columns {
	return table.Columns{"id", &r.ID, "base", &r.Base, "quote", &r.Quote, "day", &r.Day, "rate", &r.Rate, "source", &r.Source, "at", &r.At, "who", &r.Who}
})

// ExchangeRows are the rates within one transaction.
type ExchangeRows struct{ conn *table.Conn }

// New are the rates of a transaction.
func New(c *table.Conn) *ExchangeRows { return &ExchangeRows{c} }

// Rates returns the rates of days from and to, the latest first.
func (t *ExchangeRows) Rates(from, to calendar.Day) ([]exchange.Rate, error) {
	return Table.List(t.conn, "WHERE day >= $1 AND day <= $2 ORDER BY day DESC, base, quote", from, to)
}

// SaveRates keeps rates, in place of those of the same pair and day; it returns how many were new or other than before.
func (t *ExchangeRows) SaveRates(all []exchange.Rate) (int, error) {
	type pair struct {
		base, quote string
		day         calendar.Day
	}
	if len(all) == 0 {
		return 0, nil
	}
	from, to := all[0].Day, all[0].Day
	for _, r := range all {
		if r.Day.Before(from) {
			from = r.Day
		}
		if r.Day.After(to) {
			to = r.Day
		}
	}
	there, err := t.Rates(from, to)
	if err != nil {
		return 0, err
	}
	kept := map[pair]exchange.Rate{}
	for _, r := range there {
		kept[pair{r.Base, r.Quote, r.Day}] = r
	}
	n := 0
	for _, r := range all {
		k := pair{r.Base, r.Quote, r.Day}
		was, ok := kept[k]
		if ok && was.Rate == r.Rate {
			continue
		}
		r.ID = was.ID
		if r.ID, err = Table.Save(t.conn, r); err != nil {
			return n, err
		}
		kept[k] = r
		n++
	}
	return n, nil
}
