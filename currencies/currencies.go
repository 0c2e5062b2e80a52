// Package currencies is the use cases of rates of exchange: entered, loaded from a central bank's file, listed; an amount in another currency; and
// a payment that came in another currency than the studio's, noted at the day's rate.
package currencies

import (
	"context"
	"errors"

	"solander/book"
	"solander/calendar"
	"solander/exchange"
	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/studio"
)

// Store is what this room asks of the store.
type Store interface {
	exchange.Store
	Order(id int64) (order.Order, error)
	OrdersByID(ids []int64) ([]order.Order, error)
}

// Currencies is one transaction as this room sees it.
type Currencies struct {
	*studio.Turn
	Store
}

// In returns a transaction as this room sees it.
func In(t *studio.Turn) *Currencies { return &Currencies{t, t.Tx} }

var write, read = studio.Doors(In)

// Enter keeps a rate as it was typed, in place of the one of that pair and day. Faults: Invalid.
func Enter(ctx context.Context, s *studio.Studio, r exchange.Rate) (exchange.Rate, error) {
	if err := r.Validate(); err != nil {
		return r, err
	}
	return studio.Got(ctx, s, write, func(t *Currencies) (exchange.Rate, error) {
		day, err := t.NotFuture("day", r.Day)
		if err != nil {
			return r, err
		}
		r.Day, r.At, r.Who = day, t.Now, t.Who
		_, err = t.SaveRates([]exchange.Rate{r})
		return r, err
	})
}

// Loaded is what a file of rates came to.
type Loaded struct {
	Rates int          `json:"rates"` // in the file
	New   int          `json:"new"`   // or other than before
	From  calendar.Day `json:"from"`
	To    calendar.Day `json:"to"`
}

// Load keeps the rates of a central bank's file, a table or XML. Faults: as room exchange says them.
func Load(ctx context.Context, s *studio.Studio, name string, body []byte) (Loaded, error) {
	return load(ctx, s, name, body, nil)
}

// errTried ends a trial: its transaction is taken back.
var errTried = errors.New("tried")

// Try says what Load would keep, by loading it in a transaction that is taken back. Faults: as Load.
func Try(ctx context.Context, s *studio.Studio, name string, body []byte) (Loaded, error) {
	out, err := load(ctx, s, name, body, errTried)
	if errors.Is(err, errTried) {
		err = nil
	}
	return out, err
}

// load loads a file; the transaction ends with what is given.
func load(ctx context.Context, s *studio.Studio, name string, body []byte, end error) (Loaded, error) {
	all, err := parse(s, name, body)
	if err != nil {
		return Loaded{}, err
	}
	out := Loaded{Rates: len(all), From: all[0].Day, To: all[0].Day}
	for _, r := range all {
		if r.Day.Before(out.From) {
			out.From = r.Day
		}
		if r.Day.After(out.To) {
			out.To = r.Day
		}
	}
	err = write(ctx, s, func(t *Currencies) error {
		for i := range all {
			all[i].At, all[i].Who = t.Now, t.Who
		}
		var err error
		if out.New, err = t.SaveRates(all); err != nil {
			return err
		}
		return end
	})
	return out, err
}

func parse(s *studio.Studio, name string, body []byte) ([]exchange.Rate, error) {
	if exchange.IsXML(body) {
		return exchange.ReadXML(body)
	}
	if s.Files == nil {
		return nil, fault.New(fault.Internal, "no tables are read here")
	}
	t, err := s.Files(name, body, nil)
	if err != nil {
		return nil, fault.InField(err, "file")
	}
	return exchange.ReadTable(t)
}

// List returns the rates of days from and to, the latest first.
func List(ctx context.Context, s *studio.Studio, from, to calendar.Day) ([]exchange.Rate, error) {
	return studio.Got(ctx, s, read, func(t *Currencies) ([]exchange.Rate, error) {
		if to.IsZero() {
			to = t.Today
		}
		if from.IsZero() {
			from = to.Add(-30)
		}
		all, err := t.Rates(from, to)
		return append([]exchange.Rate{}, all...), err
	})
}

// Convert says what an amount is in another currency on a day (none: today). Faults: as room exchange says them.
func Convert(ctx context.Context, s *studio.Studio, a money.Amount, to string, on calendar.Day) (exchange.Used, error) {
	if !money.Known(to) {
		return exchange.Used{}, fault.Invalidf("to", "there is no currency %.10q", to).ToMend("use an ISO 4217 code such as USD")
	}
	return studio.Got(ctx, s, read, func(t *Currencies) (exchange.Used, error) {
		day, err := t.NotFuture("day", on)
		if err != nil {
			return exchange.Used{}, err
		}
		return t.convert(a, to, day)
	})
}

func (t *Currencies) convert(a money.Amount, to string, on calendar.Day) (exchange.Used, error) {
	rates, err := t.Rates(on.Add(-exchange.MostOld), on)
	if err != nil {
		return exchange.Used{}, err
	}
	return exchange.Convert(a, to, on, rates)
}

// TakeIn is money of an order in another currency than the book's.
type TakeIn struct {
	Order  int64
	Amount money.Amount  // as it came, or was paid back; positive
	Worth  *money.Amount // what the bank made of it, in the book's currency; nil: by the rate of the day
	Refund bool
	Day    calendar.Day // zero: today
	How    order.How
}

// Taken is a payment in another currency, as it was noted.
type Taken struct {
	exchange.Came
	Settled money.Amount `json:"settled"`        // of the order, in the book's currency
	Gain    money.Amount `json:"gain"`           // realised by it; negative for a loss
	Owed    money.Amount `json:"owed"`           // before it
	Left    money.Amount `json:"left"`           // still owed after it
	Still   money.Amount `json:"still,omitzero"` // the same in the currency agreed, if one is
}

// Take notes a payment of an order, or a refund, that came in another currency. Of an order that was agreed in that currency it settles its
// share of what is owed, and what it is worth more or less than that is a gain or a loss; of any other order it settles what it is worth. What
// is above what is owed cannot be noted. Faults: as Convert and book.Pay say them; Refused when the order was agreed in a third currency, or
// changed since.
func Take(ctx context.Context, s *studio.Studio, in TakeIn) (Taken, error) {
	if in.Amount.Sign() <= 0 {
		return Taken{}, fault.Invalidf("amount", "the amount is nothing or negative").ToMend("give what was paid")
	}
	return studio.Got(ctx, s, write, func(t *Currencies) (Taken, error) {
		o, err := t.Order(in.Order)
		if err != nil {
			return Taken{}, err
		}
		day, err := t.NotFuture("day", in.Day)
		if err != nil {
			return Taken{}, err
		}
		out := Taken{Owed: o.Owed(), Came: exchange.Came{Amount: in.Amount}}
		note := in.Amount.String()
		if in.Worth != nil {
			out.Worth, err = t.Cash("worth", *in.Worth)
			note += ", worth " + out.Worth.String()
		} else {
			var u exchange.Used
			u, err = t.convert(in.Amount, t.Set.Currency, day)
			out.Worth, out.Rate = u.To, u.InWords()
			note += ", " + out.Rate
		}
		if err != nil {
			return out, err
		}
		if out.Settled, err = t.settles(o, in, out.Worth); err != nil {
			return out, err
		}
		out.Gain = out.Came.Gain(out.Settled, in.Refund)
		pay := book.PaymentIn{Order: o.ID, Amount: out.Settled, Day: day, Note: note, How: in.How, Came: &out.Came}
		if in.Refund {
			pay.Kind = order.Refund
		}
		if err := book.In(t.Turn).Pay(o, pay); err != nil {
			return out, err
		}
		after, err := t.standing(o.ID)
		out.Left, out.Still = after.Book, after.Owed
		return out, err
	})
}

// settles is what of an order a payment settles, or a refund gives up, in the book's currency.
func (t *Currencies) settles(o order.Order, in TakeIn, worth money.Amount) (money.Amount, error) {
	st, err := t.standing(o.ID)
	if err != nil || !st.Agreed.Stands() {
		return worth, err
	}
	switch cur := st.Agreed.Total.Currency; {
	case in.Amount.Currency != cur:
		return worth, fault.New(fault.Refused, "this order was agreed as %s", st.Agreed.Total).At("%s", o.Mark).In("currency").ToMend("give the amount in %s, or end the agreement first", cur)
	case in.Refund:
		came, err := t.CameOf(o.ID)
		if err != nil {
			return worth, err
		}
		got, err := exchange.Share(in.Amount, book.Received(o, came, cur), o.Paid())
		return got, fault.Placed(err, o.Mark)
	case st.Changed:
		return worth, fault.New(fault.Refused, "the order was changed since it was agreed as %s: it came to %s then, and comes to %s now", st.Agreed.Total, st.Agreed.Book, o.Due()).
			At("%s", o.Mark).ToMend("agree its total anew first")
	}
	got, err := exchange.Share(in.Amount, st.Owed, o.Owed())
	return got, fault.Placed(err, o.Mark)
}
