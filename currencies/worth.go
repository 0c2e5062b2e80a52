package currencies

import (
	"solander/calendar"
	"solander/exchange"
	"solander/fault"
	"solander/money"
	"solander/order"
)

// CameIn is money of an order in another currency than the book's, as it came or went.
type CameIn struct {
	Amount money.Amount  // never negative
	Worth  *money.Amount // what the bank made of it, in the book's currency; nil: by the rate of the day
	Refund bool
	Day    calendar.Day
	Any    bool // it may come without that the order was agreed in its currency: it settles then what it is worth
}

// Settle says what money that came in another currency is worth, and what of the order it settles in the book's currency, or gives up: of an order
// that was agreed in that currency its share of what is owed, of any other what it is worth. Faults: Missing when no rate is kept of the day;
// Refused when the order was agreed in another currency, or none was and it has to be, or it was changed since, or more comes than is left.
func (t *Currencies) Settle(o order.Order, in CameIn) (exchange.Came, money.Amount, error) {
	c := exchange.Came{Amount: in.Amount}
	w, agreed, err := t.Owing(o)
	cur := in.Amount.Currency
	switch {
	case err != nil:
		return c, c.Worth, err
	case agreed && cur != w.Agreed.Total.Currency:
		return c, c.Worth, NotAs(o, w.Agreed)
	case !agreed && !in.Any:
		return c, c.Worth, fault.Invalidf("amount", "it is in %.10q, the studio's money is %s", cur, t.Set.Currency).At("%s", o.Mark).
			ToMend("give it in %s; or keep first that the order was agreed in another currency", t.Set.Currency)
	case !money.Known(cur):
		return c, c.Worth, fault.Invalidf("amount", "there is no currency %.10q", cur).ToMend("use an ISO 4217 code such as EUR")
	}
	if agreed && !in.Refund {
		if err := w.Whole(o); err != nil {
			return c, c.Worth, err
		}
	}
	if in.Worth != nil {
		if c.Worth, err = t.Cash("worth", *in.Worth); err == nil && (c.Worth.Sign() < 0 || c.Worth.Minor > money.MaxMinor) {
			err = fault.Invalidf("worth", "%s is negative or absurd", c.Worth).ToMend("give what the bank made of it")
		}
	} else {
		var u exchange.Used
		u, err = t.Convert(in.Amount, t.Set.Currency, in.Day)
		c.Worth, c.Rate = u.To, u.InWords()
	}
	if err != nil || !agreed {
		return c, c.Worth, err
	}
	settled, err := w.Settles(o, in.Amount, in.Refund)
	return c, settled, err
}

// NotAs refuses money of another currency than that in which an order was agreed: what it settles nobody could say.
func NotAs(o order.Order, a exchange.Agreed) error {
	return fault.New(fault.Refused, "this order was agreed as %s", a.Total).At("%s", o.Mark).In("amount").
		ToMend("give the amount in %s, and what it was worth; or end the agreement first", a.Total.Currency)
}

// Owing says how an order stands in the currency that was agreed of it; ok is false when it is owed in the book's.
func (t *Currencies) Owing(o order.Order) (w exchange.Owing, ok bool, err error) {
	a, err := t.AgreedOf(o.ID)
	if err != nil || !a.Stands() {
		return w, false, err
	}
	came, err := t.CameOf(o.ID)
	w, ok = exchange.Of(o, a, came)
	return w, ok, err
}
