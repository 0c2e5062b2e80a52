// Package currencies is the use cases of rates of exchange: entered, loaded from a central bank's file, listed; an amount in another currency; an
// order that is owed in one, and how it stands; and what was gained by payments that came in one.
package currencies

import (
	"context"
	"errors"
	"slices"

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
	BankedAbroad() (map[int64]money.Amount, error)
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
		return t.Convert(a, to, day)
	})
}

// Convert says what an amount is in another currency, by the rates of a day. Faults: as room exchange says them.
func (t *Currencies) Convert(a money.Amount, to string, on calendar.Day) (exchange.Used, error) {
	rates, err := t.Rates(on.Add(-exchange.MostOld), on)
	if err != nil {
		return exchange.Used{}, err
	}
	return exchange.Convert(a, to, on, rates)
}

// Converter says what amounts are in another currency on days from and to: by the rates of these days, which are read once. ok is false when no rate is
// kept of a day. Faults: Invalid for an amount that is too large.
func (t *Currencies) Converter(from, to calendar.Day) func(a money.Amount, currency string, on calendar.Day) (worth money.Amount, ok bool, err error) {
	var all []exchange.Rate
	var days map[calendar.Day][]exchange.Rate
	return func(a money.Amount, currency string, on calendar.Day) (money.Amount, bool, error) {
		if days == nil {
			var err error
			if all, err = t.Rates(from.Add(-exchange.MostOld), to); err != nil {
				return a, false, err
			}
			days = map[calendar.Day][]exchange.Rate{}
		}
		if _, known := days[on]; !known {
			days[on] = slices.DeleteFunc(slices.Clone(all), func(r exchange.Rate) bool { return r.Day.After(on) || on.Sub(r.Day) > exchange.MostOld })
		}
		u, err := exchange.Convert(a, currency, on, days[on])
		if fault.Is(err, fault.Missing) {
			return a, false, nil
		}
		return u.To, err == nil, err
	}
}
