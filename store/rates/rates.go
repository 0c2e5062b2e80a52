// Package rates keeps rates of exchange, what was agreed of orders in another currency, and payments as they came.
package rates

import (
	"solander/calendar"
	"solander/exchange"
	"solander/fault"
	"solander/ledger"
	"solander/store/engine"
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

// Agreements are what was agreed, and Foreign is payments as they came.
var (
	Agreements = table.Make("agreements", "agreement", func(a *exchange.Agreed) table.Columns {
		return table.Columns{"id", &a.ID, "order_id", &a.Order, "total", &a.Total, "book", &a.Book, "rate", &a.Rate, "day", &a.Day, "at", &a.At, "who", &a.Who}
	})
	Foreign = table.Make("foreign_payments", "foreign payment", func(c *exchange.Came) table.Columns {
		return table.Columns{"id", &c.ID, "payment", &c.Payment, "order_id", &c.Order, "came", &c.Amount, "worth", &c.Worth, "rate", &c.Rate, "at", &c.At, "who", &c.Who}
	})
)

// AddAgreed keeps an agreement.
func (t *ExchangeRows) AddAgreed(a exchange.Agreed) (int64, error) {
	id, err := Agreements.Add(t.conn, a)
	return id, engine.When(err, engine.Foreign, engine.Missing("order %d", a.Order))
}

// AgreedOf returns what was agreed last of an order.
func (t *ExchangeRows) AgreedOf(order int64) (exchange.Agreed, error) {
	all, err := Agreements.List(t.conn, "WHERE order_id = $1 ORDER BY id DESC LIMIT 1", order)
	if err != nil || len(all) == 0 || !all[0].Stands() {
		return exchange.Agreed{}, err
	}
	return all[0], nil
}

// AgreedOfAll returns what was agreed last of orders.
func (t *ExchangeRows) AgreedOfAll(orders []int64) (map[int64]exchange.Agreed, error) {
	if len(orders) == 0 {
		return nil, nil
	}
	return latest(Agreements.In(t.conn, "order_id", orders, "ORDER BY id"))
}

// AgreedOpen returns what was agreed last of the orders that are open.
func (t *ExchangeRows) AgreedOpen() (map[int64]exchange.Agreed, error) {
	return latest(Agreements.List(t.conn, `WHERE order_id IN (SELECT id FROM orders WHERE state = 'open') ORDER BY id`))
}

// latest are those that stand, of agreements by age.
func latest(all []exchange.Agreed, err error) (map[int64]exchange.Agreed, error) {
	if err != nil {
		return nil, err
	}
	out := map[int64]exchange.Agreed{}
	for _, a := range all {
		if out[a.Order] = a; !a.Stands() {
			delete(out, a.Order)
		}
	}
	return out, nil
}

// AddCame keeps how a payment came.
func (t *ExchangeRows) AddCame(c exchange.Came) (int64, error) {
	t.conn.Touch(ledger.Order, c.Order)
	id, err := Foreign.Add(t.conn, c)
	err = engine.When(err, engine.Unique, fault.New(fault.Taken, "how this payment came is kept already").At("payment %d", c.Payment))
	return id, engine.When(err, engine.Foreign, engine.Missing("payment %d", c.Payment))
}

// CameOf returns how the payments of orders came.
func (t *ExchangeRows) CameOf(orders ...int64) ([]exchange.Came, error) {
	if len(orders) == 0 {
		return Foreign.List(t.conn, "ORDER BY id")
	}
	return Foreign.In(t.conn, "order_id", orders, "ORDER BY id")
}
