package book

import (
	"solander/calendar"
	"solander/fault"
	"solander/order"
	"solander/register"
)

// Replaced is what was done to an order of which prints are sent again, for taking that back.
type Replaced struct {
	Order       int64        `json:"order"`
	Prints      []PrintBack  `json:"prints"`  // that were spoilt, and struck again
	Instead     []PrintBack  `json:"instead"` // the lines that take their place, with the turn in which their number was promised
	Was         order.State  `json:"was"`     // of the order
	WasClosed   calendar.Day `json:"was_closed,omitzero"`
	WasPromised calendar.Day `json:"was_promised,omitzero"`
	Promised    calendar.Day `json:"promised,omitzero"` // after it
}

// Lines are the lines that take the place of what was spoilt.
func (r Replaced) Lines() []int64 {
	var out []int64
	for _, p := range r.Instead {
		out = append(out, p.Line)
	}
	return out
}

// UndoReplace takes the new prints out of an order again, and has those that were spoilt be with their buyer: by counter entries in the register. What
// was paid stays. Faults: Refused when something happened to a new print since, naming what is to be undone first; one that was handed over stays.
func UndoReplace(t *Book, u Replaced) error {
	o, err := t.Order(u.Order)
	if err != nil {
		return err
	}
	for _, p := range u.Instead {
		if err := notAgain(t, o, p); err != nil {
			return fault.Placed(err, o.Mark)
		}
	}
	for _, p := range u.Prints {
		if err := p.there(t, o); err != nil {
			return err
		}
	}
	if o.State, o.Closed = u.Was, u.WasClosed; o.Promised == u.Promised {
		o.Promised = u.WasPromised
	}
	return t.SaveOrder(o)
}

// notAgain takes a print out of its order again that was to be sent instead of another.
func notAgain(t *Book, o order.Order, p PrintBack) error {
	_, l, err := t.Line(p.Line)
	switch {
	case err != nil:
		return err
	case l.Sent && !l.Dropped:
		return fault.New(fault.Refused, "the replacement was handed over: it stays").ToMend("undo the hand-over first, if it is in the house after all")
	case o.State != order.Open || l.Dropped:
		return fault.New(fault.Refused, "the replacement was taken out of its order since, or the order is not open any more").ToMend("see the history of the order; what is to be put right is entered as it is now")
	case l.Parcel != 0:
		return fault.New(fault.Refused, "the replacement is packed").ToMend("undo the packing first")
	case l.Signed:
		return fault.New(fault.Refused, "the replacement is signed").ToMend("undo its signing first")
	}
	e, err := t.EditionOf(l.Edition)
	if err != nil {
		return err
	}
	for _, turn := range p.Turns {
		if err := register.In(t.Turn).Correct(e, l.Number, turn, o.Mark, "it is not sent again after all"); err != nil {
			return err
		}
	}
	l.Dropped = true
	return t.SaveLine(l)
}
