package fair

import (
	"time"

	"solander/calendar"
	"solander/fault"
	"solander/money"
	"solander/order"
)

// Carry is cash of a day at a table that was carried to the bank.
type Carry struct {
	ID       int64        `json:"id"`
	FairDay  int64        `json:"fair_day"`
	Amount   money.Amount `json:"amount"`
	Day      calendar.Day `json:"day"` // on which it was paid in
	Note     string       `json:"note,omitempty"`
	Reversed bool         `json:"reversed,omitempty"`
	At       time.Time    `json:"at"`
	Who      string       `json:"who,omitempty"`
}

// Validate looks at it alone. Faults: Invalid.
func (c Carry) Validate() error {
	var l fault.List
	l.Check(c.Amount.Sign() > 0 && c.Amount.Minor <= money.MaxMinor, "amount", "the amount is nothing, negative or absurd", "give what was paid in")
	l.Add(order.Note("note", c.Note))
	return l.Err()
}

// Cash is what of a day's cash is still in the cash box: what was counted, or before that ought to be there, less the float, which is hers, and what was carried to
// the bank. It may be less than nothing when something was paid back since.
func (d Day) Cash(t Takings, costs []Cost, carried []Carry) money.Amount {
	n := d.Box(t, costs).Minor
	if d.Ended {
		n = d.Counted.Minor
	}
	return money.Of(n-d.Float.Minor-Gone(carried), t.Currency)
}

// Gone is how much of a day's cash was carried to the bank.
func Gone(carried []Carry) (minor int64) {
	for _, c := range carried {
		if !c.Reversed {
			minor += c.Amount.Minor
		}
	}
	return minor
}

// MayCarry looks whether that much is there to be carried, on such a day. Faults: Refused; Invalid.
func (d Day) MayCarry(c Carry, cash money.Amount) error {
	switch {
	case c.Day.Before(d.Day):
		return fault.Invalidf("day", "%s is before the day at the table, %s", c.Day, d.Day).ToMend("give the day on which it was paid in")
	case c.Amount.Minor > cash.Minor:
		return fault.New(fault.Refused, "%s is more than the %s of its takings that are in the cash box", c.Amount, money.Of(max(0, cash.Minor), cash.Currency)).At("%s", d.Name).In("amount").
			ToMend("count the cash box again; the float is no takings")
	}
	return nil
}
