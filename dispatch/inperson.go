package dispatch

import (
	"context"
	"fmt"

	"solander/calendar"
	"solander/fault"
	"solander/order"
	"solander/register"
	"solander/studio"
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
func HandIn(ctx context.Context, s *studio.Studio, in HandInIn) error {
	if err := studio.Sane("day", in.Day); err != nil {
		return err
	}
	return write(ctx, s, func(t *Dispatch) error {
		o, err := t.Order(in.Order)
		if err != nil {
			return err
		}
		day, err := t.NotFuture("day", in.Day)
		if err != nil {
			return err
		}
		if err := t.mayHandIn(o, day); err != nil {
			return err
		}
		return t.handIn(o, day)
	})
}

func (t *Dispatch) mayHandIn(o order.Order, day calendar.Day) error {
	if err := studio.StillOpen(o); err != nil {
		return err
	}
	if !o.InPerson {
		return fault.New(fault.Refused, "it goes in a parcel").At("%s", o.Mark).ToMend("say first that it is handed over in person")
	}
	if day.Before(o.Placed) {
		return fault.Invalidf("day", "%s is before the day of the sale, %s", day, o.Placed).ToMend("look at the day")
	}
	d, err := t.Drawer()
	if err != nil {
		return err
	}
	lacks, tell, err := t.LacksToGo(o, d)
	if err != nil {
		return err
	}
	if err := o.Refuse(lacks); err != nil {
		return err
	}
	return t.untold(o, tell)
}

func (t *Dispatch) handIn(o order.Order, day calendar.Day) error {
	b := batch{HandOver: studio.HandOver{Day: day}, orders: map[int64]order.Order{o.ID: o}}
	for _, l := range o.Live() {
		if l.Sent {
			continue
		}
		if err := t.sendLine(&b, o, l.ID); err != nil {
			return fault.Placed(err, o.Mark)
		}
	}
	if len(b.undo.Prints) == 0 {
		return fault.New(fault.Refused, "no print of it is left to hand over").At("%s", o.Mark)
	}
	if err := t.closeSent(&b); err != nil {
		return err
	}
	_, err := t.Journal(studio.MarkHandedOver, o.ID, b.undo, "%s handed over in person", o.Mark)
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
func (t *Dispatch) reopenLines(prints []register.SignedPrint) error {
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
