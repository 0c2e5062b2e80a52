// Package fair knows a day at the table: what was in the cash box, what the till's sales took by each way of paying, what the day cost, what
// was counted at its end, and by how much that is off. It knows no store and no clock; amounts are exact, in the studio's currency.
package fair

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"solander/calendar"
	"solander/fault"
	"solander/money"
	"solander/order"
)

// Day is a day at a table of an outlet.
type Day struct {
	ID      int64        `json:"id"`
	Outlet  int64        `json:"outlet"`
	Day     calendar.Day `json:"day"`
	Name    string       `json:"name"`  // of the fair, or where the table stood
	Float   money.Amount `json:"float"` // in the cash box before the first sale; hers before and after
	Ended   bool         `json:"ended"`
	Counted money.Amount `json:"counted"`           // in the cash box when it ended
	Why     string       `json:"why,omitempty"`     // that it is off
	Minutes int64        `json:"minutes,omitempty"` // at the table; 0 = not told
	Dropped bool         `json:"dropped,omitempty"` // entered by mistake
	At      time.Time    `json:"at"`
	Who     string       `json:"who,omitempty"`
}

// mostMinutes are those of a day.
const mostMinutes = 24 * 60

// Validate looks at a day alone. Faults: Invalid.
func (d Day) Validate() error {
	var l fault.List
	l.Check(d.Outlet > 0, "outlet", "the outlet is missing", "say where the table stands")
	l.Add(order.Text("name", d.Name, 120, true))
	l.Check(d.Float.Sign() >= 0 && d.Float.Minor <= money.MaxMinor, "float", "the float is negative or absurd", "give what lies in the cash box before the first sale")
	l.Check(d.Counted.Sign() >= 0 && d.Counted.Minor <= money.MaxMinor, "counted", "what was counted is negative or absurd", "give what lies in the cash box, float and all")
	l.Add(order.Note("why", d.Why))
	l.Check(d.Minutes >= 0 && d.Minutes <= mostMinutes, "hours", "a day has 24 hours", "give the hours at the table, like 6.5")
	return l.Err()
}

// Kind is what a cost of a day is for.
type Kind string

// The kinds of costs.
const (
	Stall  Kind = "stall"
	Travel Kind = "travel"
	Other  Kind = "other"
)

// Kinds returns all kinds.
func Kinds() []Kind { return []Kind{Stall, Travel, Other} }

// Words says a kind.
func (k Kind) Words() string {
	switch k {
	case Stall:
		return "stall fee"
	case Travel:
		return "travel"
	}
	return "another cost"
}

// Cost is a cost of a day.
type Cost struct {
	ID       int64        `json:"id"`
	FairDay  int64        `json:"fair_day"`
	Kind     Kind         `json:"kind"`
	Amount   money.Amount `json:"amount"`
	FromBox  bool         `json:"from_box"` // paid out of the cash box; otherwise it is owed until the bank pays it
	Note     string       `json:"note,omitempty"`
	Reversed bool         `json:"reversed,omitempty"`
	At       time.Time    `json:"at"`
	Who      string       `json:"who,omitempty"`
}

// Validate looks at a cost alone. Faults: Invalid.
func (c Cost) Validate() error {
	var l fault.List
	l.Check(slices.Contains(Kinds(), c.Kind), "kind", fmt.Sprintf("%.20q is no kind of cost", string(c.Kind)), "use stall, travel or other")
	l.Check(c.Amount.Sign() > 0 && c.Amount.Minor <= money.MaxMinor, "amount", "the amount is nothing, negative or absurd", "give what it cost")
	l.Add(order.Note("note", c.Note))
	return l.Err()
}

// Takings are what was taken on a day, by each way of paying, less what was paid back that way; minor units.
type Takings struct {
	Currency string `json:"currency"`
	Cash     int64  `json:"cash"`
	Card     int64  `json:"card"`
	Other    int64  `json:"other"`  // another way
	Unsaid   int64  `json:"unsaid"` // nobody said how
}

// Sum is all of it.
func (t Takings) Sum() money.Amount {
	return money.Of(t.Cash+t.Card+t.Other+t.Unsaid, t.Currency)
}

// By is what was taken by one way.
func (t Takings) By(h order.How) money.Amount { return money.Of(*t.at(h), t.Currency) }

func (t *Takings) at(h order.How) *int64 {
	switch h {
	case order.InCash:
		return &t.Cash
	case order.ByCard:
		return &t.Card
	case order.Another:
		return &t.Other
	}
	return &t.Unsaid
}

// Taken are the takings of a day: the payments on it, and what was paid back on it, of the orders of its outlet that are handed over in
// person, which is what the till sells. Nothing is taken on a day that was entered by mistake.
func (d Day) Taken(orders []order.Order, currency string) Takings {
	out := Takings{Currency: currency}
	for _, o := range orders {
		if d.Dropped || o.Outlet != d.Outlet || !o.InPerson {
			continue
		}
		for _, p := range o.Payments {
			switch {
			case p.Reversed || p.Day != d.Day:
			case p.Kind == order.Refund:
				*out.at(p.How) -= p.Amount.Minor
			default:
				*out.at(p.How) += p.Amount.Minor
			}
		}
	}
	return out
}

// Sold reports an order as one that the till sold on the day.
func (d Day) Sold(o order.Order) bool {
	return o.Outlet == d.Outlet && o.InPerson && o.Placed == d.Day && (o.State == order.Closed || o.State == order.Returned)
}

// Box is what ought to be in the cash box: the float and the cash taken, less what was paid out of it.
func (d Day) Box(t Takings, costs []Cost) money.Amount {
	n := d.Float.Minor + t.Cash
	for _, c := range costs {
		if c.FromBox && !c.Reversed {
			n -= c.Amount.Minor
		}
	}
	return money.Of(n, t.Currency)
}

// Off is by how much the count is more (or, below nothing, less) than what ought to be there; nothing before the day has ended.
func (d Day) Off(t Takings, costs []Cost) money.Amount {
	if !d.Ended || d.Dropped {
		return money.Of(0, t.Currency)
	}
	return money.Of(d.Counted.Minor-d.Box(t, costs).Minor, t.Currency)
}

// Store keeps days at a table with their costs. Nothing is deleted.
type Store interface {
	FairDays() ([]Day, error) // the latest first
	FairDay(id int64) (Day, error)
	// SaveFairDay adds a day (ID 0) or changes one. Faults: Missing; Taken when the outlet has one of that day.
	SaveFairDay(Day) (int64, error)
	FairCosts(day int64) ([]Cost, error) // as they were entered
	FairCost(id int64) (Cost, error)
	AddFairCost(Cost) (int64, error)
	ReverseFairCost(id int64) error
	FairCarries(day int64) ([]Carry, error) // as they were entered
	FairCarry(id int64) (Carry, error)
	AddFairCarry(Carry) (int64, error)
	// ReverseFairCarry notes that one was entered wrongly: a line of the bank that was matched to it is open again.
	ReverseFairCarry(id int64) error
	// FairOrders returns the orders of a day's outlet that were placed, or paid, on it, and are handed over in person.
	FairOrders(d Day) ([]order.Order, error)
}

// ParseHours reads hours with at most two decimals as minutes, rounded to the nearest: "6.5" is 390; "" is none. Faults: Invalid.
func ParseHours(text string) (int64, error) {
	s := strings.Replace(strings.TrimSpace(text), ",", ".", 1)
	if s == "" {
		return 0, nil
	}
	whole, decimals, _ := strings.Cut(s, ".")
	n, err := strconv.ParseUint(whole+(decimals + "00")[:2], 10, 16)
	if whole+decimals == "" || len(decimals) > 2 || err != nil || n > mostMinutes*100/60 {
		return 0, fault.Invalidf("hours", "%q are no hours of a day", fault.Clip(text)).ToMend("write them like 6.5")
	}
	return (int64(n)*60 + 50) / 100, nil
}

// Hours are minutes as ParseHours reads them; "" when there are none.
func Hours(minutes int64) string {
	if minutes == 0 {
		return ""
	}
	n := (minutes*100 + 30) / 60
	return strings.TrimRight(strings.TrimRight(fmt.Sprintf("%d.%02d", n/100, n%100), "0"), ".")
}
