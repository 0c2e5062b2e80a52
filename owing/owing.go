// Package owing knows what is owed, and for how long: what buyers owe the studio, what it owes them, the deposits that it holds for prints
// that are still here, and the statement of one buyer. Ages are in days from the day of the sale. It computes all of it from orders, and
// keeps nothing.
package owing

import (
	"cmp"
	"fmt"
	"slices"

	"solander/calendar"
	"solander/money"
	"solander/order"
)

// Store is what the store answers of what is owed.
type Store interface {
	// Unsettled returns the orders that are not open any more and of which something else was paid than is due, by id: those of which something
	// is owed, to whomever, and those of which it was paid back for good.
	Unsettled() ([]int64, error)
}

// Kind tells what is owed.
type Kind string

// The kinds. An order owes one of the first three at most; beside that a deposit may be held for it.
const (
	Whole   Kind = "whole"   // nothing was paid yet
	Balance Kind = "balance" // the rest, after a deposit
	Back    Kind = "back"    // more was paid than is due: the studio owes it
	Held    Kind = "held"    // money that came in for prints that were not handed over yet
)

// Kinds returns all kinds.
func Kinds() []Kind { return []Kind{Whole, Balance, Back, Held} }

// Words says the kind.
func (k Kind) Words() string {
	return map[Kind]string{Whole: "nothing paid yet", Balance: "balance after a deposit", Back: "to pay back", Held: "deposit held"}[k]
}

// Item is an amount of one order, never negative.
type Item struct {
	Order  int64        `json:"order"`
	Mark   string       `json:"mark"`
	Buyer  int64        `json:"buyer"`
	Name   string       `json:"name"`
	Kind   Kind         `json:"kind"`
	Since  calendar.Day `json:"since"`
	Days   int          `json:"days"`
	Amount money.Amount `json:"amount"`          // in the book's currency, so that it can be compared and added up
	Abroad money.Amount `json:"abroad,omitzero"` // the same in the currency that was agreed of the order
}

// Abroad is an order that is owed in another currency than the book's, in that currency; nothing is known of one that was changed since it was agreed,
// but how its payments came.
type Abroad struct {
	Total, Paid, Owed money.Amount
	Given, Credited   money.Amount           // what is not asked for, and what of it credit notes took off
	Came              map[int64]money.Amount // by payment
}

// Of returns what is owed of an order on a day.
func Of(o order.Order, in Abroad, today calendar.Day) []Item {
	var out []Item
	add := func(k Kind, since calendar.Day, a, abroad money.Amount) {
		out = append(out, Item{Order: o.ID, Mark: o.Mark, Buyer: o.Buyer, Kind: k, Since: since, Days: max(0, today.Sub(since)), Amount: a, Abroad: abroad})
	}
	owed, paid := o.Owed(), o.Paid()
	switch {
	case owed.Sign() > 0 && paid.Sign() > 0:
		add(Balance, o.Placed, owed, in.Owed)
	case owed.Sign() > 0:
		add(Whole, o.Placed, owed, in.Owed)
	case owed.Sign() < 0:
		since := o.Closed
		if since.IsZero() {
			since = lastPaid(o)
		}
		add(Back, since, owed.Neg(), in.Owed.Neg())
	}
	if o.State == order.Open && paid.Sign() > 0 && !sent(o) {
		add(Held, lastPaid(o), paid, in.Paid)
	}
	return out
}

func sent(o order.Order) bool {
	return slices.ContainsFunc(o.Live(), func(l order.Line) bool { return l.Sent })
}

func lastPaid(o order.Order) calendar.Day {
	last := o.Placed
	for _, p := range o.Payments {
		if !p.Reversed && p.Day.After(last) {
			last = p.Day
		}
	}
	return last
}

// Span is an age: from so many days to so many.
type Span struct {
	From int `json:"from"`
	To   int `json:"to"` // no end when it is before From
}

// Spans are the ages by which what is owed is told apart. Common practice, no source.
func Spans() []Span { return []Span{{0, 30}, {31, 60}, {61, 90}, {91, 0}} }

func spanOf(days int) int {
	all := Spans()
	for i, s := range all {
		if days <= s.To {
			return i
		}
	}
	return len(all) - 1
}

// Row is the amounts of one kind by age.
type Row struct {
	Kind  Kind           `json:"kind"`
	Spans []money.Amount `json:"spans"` // in the order of Spans
	Sum   money.Amount   `json:"sum"`
	Count int            `json:"count"`
}

// Ageing is what is owed on a day. Items are the oldest first; those held stand in Deposits.
type Ageing struct {
	Day      calendar.Day `json:"day"`
	Spans    []Span       `json:"spans"`
	Rows     []Row        `json:"rows"` // one a kind
	Items    []Item       `json:"items"`
	Deposits []Item       `json:"deposits"`
	Owed     money.Amount `json:"owed"` // by buyers, in all
}

// Age sorts items by age and adds them up. Faults: Invalid when they are in different currencies or do not fit together.
func Age(items []Item, day calendar.Day, currency string) (Ageing, error) {
	a := Ageing{Day: day, Spans: Spans(), Items: []Item{}, Deposits: []Item{}, Owed: money.Of(0, currency)}
	for _, k := range Kinds() {
		r := Row{Kind: k, Sum: money.Of(0, currency)}
		for range a.Spans {
			r.Spans = append(r.Spans, money.Of(0, currency))
		}
		a.Rows = append(a.Rows, r)
	}
	for _, it := range items {
		r := &a.Rows[slices.Index(Kinds(), it.Kind)]
		if err := add(it.Amount, &r.Spans[spanOf(it.Days)], &r.Sum); err != nil {
			return a, err
		}
		r.Count++
		switch it.Kind {
		case Held:
			a.Deposits = append(a.Deposits, it)
			continue
		case Whole, Balance:
			if err := add(it.Amount, &a.Owed); err != nil {
				return a, err
			}
		}
		a.Items = append(a.Items, it)
	}
	oldest := func(x, y Item) int { return cmp.Or(cmp.Compare(y.Days, x.Days), cmp.Compare(x.Order, y.Order)) }
	slices.SortFunc(a.Items, oldest)
	slices.SortFunc(a.Deposits, oldest)
	return a, nil
}

func add(what money.Amount, to ...*money.Amount) error {
	for _, t := range to {
		sum, err := t.Add(what)
		if err != nil {
			return err
		}
		*t = sum
	}
	return nil
}

// Words says the span: "31–60 days".
func (s Span) Words() string {
	if s.To < s.From {
		return fmt.Sprintf("over %d days", s.From-1)
	}
	return fmt.Sprintf("%d–%d days", s.From, s.To)
}
