package studio

import (
	"context"
	"fmt"

	"solander/calendar"
	"solander/fault"
	"solander/order"
)

// HandInIn hands an order over to its buyer in person.
type HandInIn struct {
	Order int64
	Day   calendar.Day // zero: today
}

// HandIn hands the prints of an order over in person: its numbers are sent, the sheets leave the drawer, and the
// order is closed, without a parcel, a label or packaging; the register and the journal say that it was in person.
// Undo takes it back as any hand-over. Faults: Invalid; Missing; Refused when the order is not said to be handed over in
// person, or with everything that it lacks.
func (s *Studio) HandIn(ctx context.Context, in HandInIn) error {
	if err := sane("day", in.Day); err != nil {
		return err
	}
	return s.write(ctx, func(t *turn) error {
		o, err := t.Order(in.Order)
		if err != nil {
			return err
		}
		day, err := t.notFuture("day", in.Day)
		if err != nil {
			return err
		}
		if err := t.mayHandIn(o, day); err != nil {
			return err
		}
		return t.handIn(o, day)
	})
}

func (t *turn) mayHandIn(o order.Order, day calendar.Day) error {
	if err := stillOpen(o); err != nil {
		return err
	}
	if !o.InPerson {
		return fault.New(fault.Refused, "it goes in a parcel").At("%s", o.Mark).ToMend("say first that it is handed over in person")
	}
	if day.Before(o.Placed) {
		return fault.Invalidf("day", "%s is before the day of the sale, %s", day, o.Placed).ToMend("look at the day")
	}
	d, err := t.drawer()
	if err != nil {
		return err
	}
	lacks, err := t.lacks(o, d)
	if err != nil {
		return err
	}
	return o.Refuse(lacks)
}

func (t *turn) handIn(o order.Order, day calendar.Day) error {
	b := batch{HandOver: HandOver{Day: day}, orders: map[int64]order.Order{o.ID: o}}
	for _, l := range o.Live() {
		if l.Sent {
			continue
		}
		if err := t.sendLine(&b, o, l.ID); err != nil {
			return at(err, o.Mark)
		}
	}
	if len(b.undo.Prints) == 0 {
		return fault.New(fault.Refused, "no print of it is left to hand over").At("%s", o.Mark)
	}
	if err := t.closeSent(&b); err != nil {
		return err
	}
	_, err := t.mark(MarkHandedOver, o.ID, b.undo, "%s handed over in person", o.Mark)
	return err
}

// how is the note of the register's entries about a hand-over.
func (b batch) how() string {
	if b.ID == 0 {
		return "handed over in person"
	}
	return fmt.Sprintf("hand-over %d", b.ID)
}

// reason is the note of the entries that take a hand-over back.
func (u undoHandedOver) reason() string {
	if u.HandOver == 0 {
		return "handing over in person taken back"
	}
	return fmt.Sprintf("hand-over %d taken back", u.HandOver)
}

// reopenLines opens the orders of prints again that are back in the house.
func (t *turn) reopenLines(prints []signedPrint) error {
	for _, p := range prints {
		o, err := t.OrderByLine(p.Line)
		if err != nil {
			return err
		}
		if err := t.reopen(o.ID); err != nil {
			return err
		}
	}
	return nil
}

// amendInPerson says that an order is handed over in person, or sent after all. Faults: Refused while a parcel of it is packed.
func (t *turn) amendInPerson(o *order.Order, in AmendIn) (string, error) {
	if in.InPerson == nil || *in.InPerson == o.InPerson {
		return "", nil
	}
	if err := stillOpen(*o); err != nil {
		return "", err
	}
	parcels, err := t.Parcels(o.ID)
	if err != nil {
		return "", err
	}
	for _, p := range parcels {
		if p.State != HandedOver {
			return "", fault.New(fault.Refused, "a parcel of it is %s", p.State).In("in_person").ToMend("undo the packing first")
		}
	}
	o.InPerson = *in.InPerson
	if o.InPerson {
		return "handed over in person", nil
	}
	return "sent in a parcel", nil
}
