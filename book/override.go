package book

import (
	"context"

	"solander/fault"
	"solander/order"
	"solander/studio"
)

// Override lets an order leave although it is not paid in full, not all signed, or its buyer is still to be told facts. The reason is kept
// with the order and in its journal for ever. Faults: Invalid, Missing, Refused when nothing holds the
// order back or it is overridden already.
func Override(ctx context.Context, s *studio.Studio, id int64, reason string) error {
	if err := studio.ReasonGiven(reason); err != nil {
		return err
	}
	return write(ctx, s, func(t *Book) error {
		o, err := t.Order(id)
		if err != nil {
			return err
		}
		if err := studio.StillOpen(o); err != nil {
			return err
		}
		tell, err := t.Untold(o)
		if err != nil {
			return err
		}
		switch {
		case o.Override != nil:
			return fault.New(fault.Refused, "it is overridden already: %s", o.Override.Reason).At("%s", o.Mark)
		case len(studio.HeldBack(o, tell[0])) == 0:
			return fault.New(fault.Refused, "nothing holds it back").At("%s", o.Mark)
		}
		o.Override = &order.Override{Reason: reason, At: t.Now, Who: t.Who}
		if err := t.SaveOrder(o); err != nil {
			return err
		}
		return t.Note(o.ID, "%s may leave all the same: %s", o.Mark, reason)
	})
}

// LiftOverride takes an override back; that it was there stays in the journal. Faults: Missing, Refused
// when a parcel was packed on its strength.
func LiftOverride(ctx context.Context, s *studio.Studio, id int64) error {
	return write(ctx, s, func(t *Book) error {
		o, err := t.Order(id)
		if err != nil {
			return err
		}
		if err := studio.StillOpen(o); err != nil {
			return err
		}
		if o.Override == nil {
			return fault.New(fault.Refused, "it is not overridden").At("%s", o.Mark)
		}
		parcels, err := t.Parcels(o.ID)
		if err != nil {
			return err
		}
		if len(parcels) > 0 && len(o.HeldBack()) > 0 {
			return fault.New(fault.Refused, "it was packed on the strength of it").At("%s", o.Mark).ToMend("undo the packing first")
		}
		reason := o.Override.Reason
		o.Override = nil
		if err := t.SaveOrder(o); err != nil {
			return err
		}
		return t.Note(o.ID, "%s may not leave any more; it had been let go because: %s", o.Mark, reason)
	})
}
