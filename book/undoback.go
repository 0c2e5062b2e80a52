package book

import (
	"slices"

	"solander/calendar"
	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/register"
)

// CameBack is what was done to an order of which prints came back spoilt, for taking that back.
type CameBack struct {
	Order     int64        `json:"order"`
	Prints    []PrintBack  `json:"prints"`
	Was       order.State  `json:"was"` // of the order
	WasClosed calendar.Day `json:"was_closed,omitzero"`
	Is        order.State  `json:"is"`                // after it
	Payment   int64        `json:"payment,omitempty"` // that paid back; 0 = none
	Paid      money.Amount `json:"paid"`              // of the order, after it
}

// PrintBack is one print that came back, with the turns of its number's entries, the first one first; none of an open edition.
type PrintBack struct {
	Line  int64 `json:"line"`
	Turns []int `json:"turns,omitempty"`
}

// UndoBack has prints that came back spoilt be with their buyer again: by counter entries in the register; they are due again, and the refund is taken
// back. Faults: Refused when something happened to a print, to the order or to what was paid for it since.
func (t *Book) UndoBack(u CameBack) error {
	o, err := t.Order(u.Order)
	if err != nil {
		return err
	}
	back, err := u.nothingSince(o)
	if err != nil {
		return fault.Placed(err, o.Mark)
	}
	for _, p := range u.Prints {
		if err := p.there(t, o); err != nil {
			return err
		}
	}
	if u.Was != u.Is {
		o.State, o.Closed = u.Was, u.WasClosed
		if err := t.SaveOrder(o); err != nil {
			return err
		}
	}
	if back == 0 {
		return nil
	}
	return t.UndoPaidBy(o.ID, back)
}

// nothingSince refuses what cannot stand as before any more. It says which payment is to be taken back; 0 = none, or one that was already.
func (u CameBack) nothingSince(o order.Order) (int64, error) {
	sent := u.Was == order.Open && u.Is == order.Open && o.State == order.Closed // the rest of it left since
	if o.State != u.Is && !sent {
		return 0, fault.New(fault.Refused, "the order is %s since", o.State).ToMend("see its history; what is to be put right is entered as it is now")
	}
	back, paid := int64(0), u.Paid
	if i := slices.IndexFunc(o.Payments, func(p order.Payment) bool { return p.ID == u.Payment }); i >= 0 {
		if back = u.Payment; o.Payments[i].Reversed {
			back = 0
			paid.Minor += o.Payments[i].Amount.Minor
		}
	}
	if o.Paid() != paid {
		return 0, fault.New(fault.Refused, "%s are paid of the order since, and not %s", o.Paid(), paid).ToMend("take the later payment or refund back first")
	}
	return back, nil
}

// there takes the entries of one print back, the latest first.
func (p PrintBack) there(t *Book, o order.Order) error {
	_, l, err := t.Line(p.Line)
	if err != nil {
		return err
	}
	if !l.Dropped || !l.Sent {
		return fault.New(fault.Refused, "its line is not as it was left").At("%s", o.Mark).ToMend("see the history of the order")
	}
	e, err := t.EditionOf(l.Edition)
	if err != nil {
		return err
	}
	for _, turn := range slices.Backward(p.Turns) {
		if err := register.In(t.Turn).Correct(e, l.Number, turn, o.Mark, "it did not come back"); err != nil {
			return err
		}
	}
	l.Dropped = false
	return t.SaveLine(l)
}

// UndoPaidBy takes a payment back with the mark that tells of it, as a part of another deed. Faults: as UndoPay and PaidMark.
func (t *Book) UndoPaidBy(orderID, payment int64) error {
	m, err := t.PaidMark(orderID, payment)
	if err != nil {
		return err
	}
	if err := t.UndoPay(orderID, UndoPaid{Payment: payment}); err != nil {
		return err
	}
	return t.UndoMark(m.ID)
}
