package book

import (
	"context"

	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/planning"
	"solander/studio"
)

// CancelIn ends an order before hand-over.
type CancelIn struct {
	Order  int64
	Reason string
	Refund money.Amount // zero: nothing is paid back now
}

// Validate looks at the cancellation alone. Faults: Invalid.
func (in CancelIn) Validate() error {
	var l fault.List
	l.Add(studio.ReasonGiven(in.Reason))
	l.Add(studio.Amount("refund", in.Refund))
	return l.Err()
}

// Cancel ends an order before anything of it was handed over. Parcels are unpacked; promised numbers
// become free; a signed number stays signed in the drawer, without a holder.
// Faults: Invalid, Missing, Refused when part of it was handed over or the refund exceeds what was paid.
func Cancel(ctx context.Context, s *studio.Studio, in CancelIn) error {
	if err := in.Validate(); err != nil {
		return err
	}
	return write(ctx, s, func(t *Book) error {
		o, err := t.Order(in.Order)
		if err != nil {
			return err
		}
		if err := studio.StillOpen(o); err != nil {
			return err
		}
		for _, l := range o.Live() {
			if l.Sent {
				return fault.New(fault.Refused, "part of it was handed over").At("%s", o.Mark).ToMend("take out the prints that are still here, and take back what was sent")
			}
		}
		return t.cancel(o, in)
	})
}

func (t *Book) cancel(o order.Order, in CancelIn) error {
	if _, err := t.refund(o, t.Today, PaymentIn{Amount: in.Refund, Note: in.Reason}, "refund"); err != nil {
		return err
	}
	if err := t.unpack(o); err != nil {
		return err
	}
	o, err := t.Order(o.ID) // its lines lie in no parcel now
	if err != nil {
		return err
	}
	for _, l := range o.Live() {
		e, err := t.EditionOf(l.Edition)
		if err != nil {
			return err
		}
		if err := t.release(o, l, e, "cancelled: "+in.Reason); err != nil {
			return err
		}
		l.Dropped = true
		if err := t.SaveLine(l); err != nil {
			return err
		}
	}
	o.State, o.Closed = order.Cancelled, t.Today
	if err := t.SaveOrder(o); err != nil {
		return err
	}
	return t.Note(o.ID, "%s cancelled: %s", o.Mark, in.Reason)
}

// unpack drops the parcels of an order that are still in the house.
func (t *Book) unpack(o order.Order) error {
	parcels, err := t.Parcels(o.ID)
	if err != nil {
		return err
	}
	for _, p := range parcels {
		if p.State == studio.HandedOver {
			continue
		}
		all, err := planning.In(t.Turn).Sharing(p)
		if err != nil {
			return err
		}
		if err := t.DropParcel(p.ID); err != nil {
			return err
		}
		if _, err := planning.In(t.Turn).Tell(all, o.ID, "unpacked, since %s in the same parcel was taken out", o.Mark); err != nil {
			return err
		}
	}
	return nil
}
