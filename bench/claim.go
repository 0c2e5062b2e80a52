package bench

import (
	"solander/calendar"
	"solander/claim"
)

// Claim is an open claim on an operator as the bench sees it.
type Claim struct {
	ID     int64
	Order  int64
	Mark   string
	Buyer  string
	Prints string // "17/250 Heron at dusk"
	Todo   []claim.Due
}

// claims lists what is to be done for claims; its days are calendar days, as the operator counts them.
func (b *maker) claims() {
	for _, c := range b.Claims {
		for _, d := range c.Todo {
			t := Task{Group: Claims, Claim: c.ID, Order: c.Order, Mark: c.Mark, Buyer: c.Buyer, What: d.What, Why: d.Why, Promised: d.By, Late: d.Late}
			t.Detail = []string{c.Prints}
			if d.Wait {
				t.Blocked = d.Why
			}
			t.Timing = b.dueBy(d.By, d.Late)
			b.add(t)
		}
	}
}

func (b *maker) dueBy(by calendar.Day, late int) string {
	switch {
	case by.IsZero():
		return ""
	case late > 0:
		return "was due by " + b.day(by)
	}
	return "by " + b.day(by)
}
