package currencies

import (
	"context"
	"fmt"
	"maps"
	"slices"

	"solander/calendar"
	"solander/exchange"
	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/studio"
)

// AgreeIn is that an order is owed in another currency than the book's.
type AgreeIn struct {
	Order    int64
	Currency string
	Total    *money.Amount // as it was agreed; nil: what the order comes to, at the day's rate
	Day      calendar.Day  // zero: today
	Seen     *int64        // the agreement that stood when it was asked for, 0 = none did; nil: whatever stands
}

// Validate looks at the agreement alone. Faults: Invalid.
func (in AgreeIn) Validate() error {
	var l fault.List
	l.Check(money.Known(in.Currency), "currency", fmt.Sprintf("there is no currency %.10q", in.Currency), "use an ISO 4217 code such as EUR")
	if t := in.Total; t != nil {
		l.Check(t.Sign() > 0 && t.Minor <= money.MaxMinor && t.Currency == in.Currency, "total", fmt.Sprintf("%s is nothing, or not in %.10s", *t, in.Currency), fmt.Sprintf("give what the order comes to in %.10s", in.Currency))
	}
	return l.Err()
}

// Agree keeps in which currency an order is owed, and how much. The order's own figures stay in the book's currency. An order that was changed
// since is agreed anew. Faults: Invalid; Missing, also when no rate is kept of the day; Refused when nothing is owed, or other money came.
func Agree(ctx context.Context, s *studio.Studio, in AgreeIn) (exchange.Agreed, error) {
	if err := in.Validate(); err != nil {
		return exchange.Agreed{}, err
	}
	return studio.Got(ctx, s, write, func(t *Currencies) (exchange.Agreed, error) {
		o, err := t.Order(in.Order)
		if err != nil {
			return exchange.Agreed{}, err
		}
		return t.Agree(o, in)
	})
}

// Agree is the use case Agree within a transaction.
func (t *Currencies) Agree(o order.Order, in AgreeIn) (exchange.Agreed, error) {
	var none exchange.Agreed
	day, err := t.NotFuture("day", in.Day)
	if err != nil {
		return none, err
	}
	if err := t.unchanged(o, in.Seen); err != nil {
		return none, err
	}
	a := exchange.Agreed{Order: o.ID, Book: o.Due(), Day: day, At: t.Now, Who: t.Who}
	switch {
	case in.Currency == t.Set.Currency:
		return none, fault.Invalidf("currency", "%s is the currency of the book", in.Currency).At("%s", o.Mark).ToMend("leave the order as it is, or name another currency")
	case o.State != order.Open || o.Owed().Sign() <= 0:
		return none, fault.New(fault.Refused, "nothing is owed").At("%s", o.Mark).ToMend("agree a currency before the order is paid")
	case in.Total == nil:
		u, err := t.Convert(a.Book, in.Currency, day)
		if err != nil {
			return none, err
		}
		a.Total, a.Rate = u.To, u.InWords()
	default:
		a.Total = *in.Total
	}
	if a.Total.Sign() <= 0 || a.Total.Minor > money.MaxMinor {
		return none, fault.Invalidf("total", "%s is nothing, or too much", a.Total).ToMend("give what the order comes to in %s", in.Currency)
	}
	came, err := t.CameOf(o.ID)
	if err != nil {
		return none, err
	}
	if p, ok := otherMoney(o, came, in.Currency); ok {
		return none, fault.New(fault.Refused, "%s of %s did not come in %s", p.Amount, p.Day, in.Currency).At("%s", o.Mark).ToMend("undo that payment first")
	}
	if got := exchange.Received(o, came, in.Currency); got.Minor >= a.Total.Minor {
		return none, fault.New(fault.Refused, "%s came already", got).At("%s", o.Mark).In("total").ToMend("give more than that")
	}
	if a.ID, err = t.AddAgreed(a); err != nil {
		return none, err
	}
	return a, t.Note(o.ID, "agreed as %s", a.Total)
}

// unchanged refuses what was asked for while another agreement stood than now, as in another window. Faults: Changed.
func (t *Currencies) unchanged(o order.Order, seen *int64) error {
	if seen == nil {
		return nil
	}
	now, err := t.AgreedOf(o.ID)
	if err != nil || now.ID == *seen {
		return err
	}
	what := fmt.Sprintf("it is owed in %s again", t.Set.Currency)
	if now.Stands() {
		what = fmt.Sprintf("it was agreed as %s", now.Total)
	}
	return fault.New(fault.Changed, "%s meanwhile", what).At("%s", o.Mark).In("order").ToMend("look at the order again, and agree it from there")
}

// otherMoney is a standing payment of an order that did not come in a currency.
func otherMoney(o order.Order, came []exchange.Came, currency string) (order.Payment, bool) {
	for _, p := range o.Payments {
		in := slices.ContainsFunc(came, func(c exchange.Came) bool { return c.Payment == p.ID && c.Amount.Currency == currency })
		if !p.Reversed && !in {
			return p, true
		}
	}
	return order.Payment{}, false
}

// Part ends an agreement, the one that was seen (nil: whichever stands): the order is owed in the book's currency again. Faults: Changed; Missing when there is none; Refused while money that came
// by it stands.
func Part(ctx context.Context, s *studio.Studio, id int64, seen *int64) error {
	return write(ctx, s, func(t *Currencies) error {
		o, err := t.Order(id)
		if err != nil {
			return err
		}
		if err := t.unchanged(o, seen); err != nil {
			return err
		}
		st, err := t.standing(id)
		switch {
		case err != nil:
			return err
		case !st.Agreed.Stands():
			return fault.New(fault.Missing, "no other currency was agreed").At("%s", st.Mark)
		case len(st.Payments) > 0:
			return fault.New(fault.Refused, "money came in %s", st.Agreed.Total.Currency).At("%s", st.Mark).ToMend("undo those payments first")
		}
		end := exchange.Agreed{Order: id, Total: money.Of(0, st.Agreed.Total.Currency), Book: st.Agreed.Book, Day: t.Today, At: t.Now, Who: t.Who}
		if _, err = t.AddAgreed(end); err != nil {
			return err
		}
		return t.Note(id, "owed in %s again", t.Set.Currency)
	})
}

// Standing is how an order stands that is owed in another currency, or was paid in one.
type Standing struct {
	Mark     string          `json:"mark"`
	Agreed   exchange.Agreed `json:"agreed,omitzero"`
	Owed     money.Amount    `json:"owed"`              // in the currency agreed
	Given    money.Amount    `json:"given,omitzero"`    // in the currency agreed: what is not asked for
	Credited money.Amount    `json:"credited,omitzero"` // what of that credit notes took off
	Book     money.Amount    `json:"owed_in_book"`      // in the book's
	Changed  bool            `json:"changed"`           // the order was changed since: it has to be agreed anew before more is paid
	Payments []Foreign       `json:"payments"`          // that stand, oldest first
	Parts    []exchange.Part `json:"parts,omitzero"`    // what the agreed total is made of
}

// InWords says what is owed in the currency agreed, or is to be paid back.
func (s Standing) InWords() string { return order.OwedInWords(s.Owed) }

// Foreign is a payment, or a refund, in another currency.
type Foreign struct {
	exchange.Came
	Mark    string       `json:"mark"`
	Day     calendar.Day `json:"day"`
	Refund  bool         `json:"refund,omitempty"`
	Settled money.Amount `json:"settled"`         // of the order, in the book's currency; of a refund, what is owed again
	Banked  money.Amount `json:"banked,omitzero"` // what the bank made of it, by its line; less than nothing of a refund
	Gain    money.Amount `json:"gain"`            // realised, by what the bank made of it when that is known; negative for a loss
}

// Of says how an order stands in another currency.
func Of(ctx context.Context, s *studio.Studio, id int64) (Standing, error) {
	return studio.Got(ctx, s, read, func(t *Currencies) (Standing, error) { return t.standing(id) })
}

// Open says how the open orders stand that are owed in another currency, by order.
func Open(ctx context.Context, s *studio.Studio) (map[int64]exchange.Owing, error) {
	return studio.Got(ctx, s, read, func(t *Currencies) (map[int64]exchange.Owing, error) { return t.Open() })
}

// Open is the use case Open within a transaction.
func (t *Currencies) Open() (map[int64]exchange.Owing, error) {
	agreed, err := t.AgreedOpen()
	if err != nil || len(agreed) == 0 {
		return nil, err
	}
	orders, err := t.OrdersByID(slices.Sorted(maps.Keys(agreed)))
	if err != nil {
		return nil, err
	}
	return t.standings(orders, agreed)
}

// OfAll says how those of some orders stand that are owed in another currency, by order.
func (t *Currencies) OfAll(orders []order.Order) (map[int64]exchange.Owing, error) {
	ids := make([]int64, len(orders))
	for i, o := range orders {
		ids[i] = o.ID
	}
	agreed, err := t.AgreedOfAll(ids)
	if err != nil || len(agreed) == 0 {
		return nil, err
	}
	return t.standings(orders, agreed)
}

func (t *Currencies) standings(orders []order.Order, agreed map[int64]exchange.Agreed) (map[int64]exchange.Owing, error) {
	came, err := t.CameOf(slices.Sorted(maps.Keys(agreed))...)
	if err != nil {
		return nil, err
	}
	out := map[int64]exchange.Owing{}
	for _, o := range orders {
		if w, ok := exchange.Of(o, agreed[o.ID], came); ok {
			out[o.ID] = w
		}
	}
	return out, nil
}

func (t *Currencies) standing(id int64) (Standing, error) {
	o, err := t.Order(id)
	if err != nil {
		return Standing{}, err
	}
	a, err := t.AgreedOf(id)
	if err != nil {
		return Standing{}, err
	}
	came, err := t.CameOf(id)
	if err != nil {
		return Standing{}, err
	}
	st := Standing{Mark: o.Mark, Agreed: a, Book: o.Owed(), Payments: foreign(came, []order.Order{o})}
	if w, ok := exchange.Of(o, a, came); ok {
		if st.Owed, st.Given, st.Credited, st.Changed = w.Owed, w.Given, w.Credited, w.Changed && o.Owed().Sign() > 0; o.Due().Sign() > 0 && !w.Changed {
			st.Parts = w.Parts(o)
		}
	}
	return st, nil
}

// foreign are the payments that stand, of those that came in another currency.
func foreign(came []exchange.Came, orders []order.Order) []Foreign {
	by := map[int64]order.Order{}
	for _, o := range orders {
		by[o.ID] = o
	}
	out := []Foreign{}
	for _, c := range came {
		o := by[c.Order]
		for _, p := range o.Payments {
			if p.ID == c.Payment && !p.Reversed {
				back := p.Kind == order.Refund
				out = append(out, Foreign{Came: c, Mark: o.Mark, Day: p.Day, Refund: back, Settled: p.Amount, Gain: c.Gain(p.Amount, back)})
			}
		}
	}
	return out
}

// atBank takes into account what the bank made of a payment.
func (f *Foreign) atBank(banked map[int64]money.Amount) {
	a, ok := banked[f.Payment]
	if !ok {
		return
	}
	worth := f.Worth.Minor
	if f.Refund {
		worth = -worth
	}
	f.Banked, f.Gain.Minor = a, f.Gain.Minor+a.Minor-worth
}

// Sum is what came in a currency in a year, and what was gained by its rate.
type Sum struct {
	Year     int          `json:"year"`
	Currency string       `json:"currency"`
	Came     money.Amount `json:"came"` // less what was paid back
	Gain     money.Amount `json:"gain"`
}

// Gains are all payments in other currencies that stand, the latest first, and their sums by year and currency. What changed of the rates and
// was not paid yet is in none of them, nor in the journal.
type Gains struct {
	Payments []Foreign `json:"payments"`
	Sums     []Sum     `json:"sums"`
}

// Realised returns all payments in other currencies and what was gained by each.
func Realised(ctx context.Context, s *studio.Studio) (Gains, error) {
	return studio.Got(ctx, s, read, func(t *Currencies) (Gains, error) {
		came, err := t.CameOf()
		if err != nil {
			return Gains{}, err
		}
		ids := make([]int64, 0, len(came))
		for _, c := range came {
			ids = append(ids, c.Order)
		}
		slices.Sort(ids)
		orders, err := t.OrdersByID(slices.Compact(ids))
		if err != nil {
			return Gains{}, err
		}
		banked, err := t.BankedAbroad()
		if err != nil {
			return Gains{}, err
		}
		all := foreign(came, orders)
		for i := range all {
			all[i].atBank(banked)
		}
		slices.SortStableFunc(all, func(a, b Foreign) int { return b.Day.Sub(a.Day) })
		return Gains{all, sums(all)}, nil
	})
}

// sums adds payments, the latest first, by year and currency.
func sums(all []Foreign) []Sum {
	out := []Sum{}
	for _, f := range all {
		year, _, _ := f.Day.Civil()
		i := slices.IndexFunc(out, func(s Sum) bool { return s.Year == year && s.Currency == f.Amount.Currency })
		if i < 0 {
			i = len(out)
			out = append(out, Sum{year, f.Amount.Currency, money.Of(0, f.Amount.Currency), money.Of(0, f.Gain.Currency)})
		}
		if f.Refund {
			out[i].Came.Minor -= f.Amount.Minor
		} else {
			out[i].Came.Minor += f.Amount.Minor
		}
		out[i].Gain.Minor += f.Gain.Minor
	}
	return out
}
