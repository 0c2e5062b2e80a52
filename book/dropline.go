package book

import (
	"context"

	"solander/calendar"
	"solander/edition"
	"solander/fault"
	"solander/order"
	"solander/studio"
)

// DropLine takes a print out of its order: its number is released and less is due. The outlet's fee
// goes with it, unless it was corrected before. An order of which the rest is sent is closed.
// Faults: Invalid, Missing, Refused for the last print, and for one that is packed or sent.
func DropLine(ctx context.Context, s *studio.Studio, line int64, reason string) error {
	if err := studio.ReasonGiven(reason); err != nil {
		return err
	}
	return write(ctx, s, func(t *Book) error {
		o, l, err := t.Changeable(line)
		if err != nil {
			return err
		}
		if len(o.Live()) == 1 {
			return fault.New(fault.Refused, "it is the only print of the order").At("%s", o.Mark).ToMend("cancel the order instead")
		}
		return t.dropLine(o, l, reason)
	})
}

func (t *Book) dropLine(o order.Order, l order.Line, reason string) error {
	e, err := t.EditionOf(l.Edition)
	if err != nil {
		return err
	}
	o, err = withFee(t, o, func() error {
		if err := t.release(o, l, e, reason); err != nil {
			return err
		}
		l.Dropped = true
		return t.SaveLine(l)
	})
	if err != nil {
		return err
	}
	t.CloseWhenSent(&o, t.Today)
	if err := t.SaveOrder(o); err != nil {
		return err
	}
	return t.Note(o.ID, "%s taken out: %s", studio.Named(l.Number.Of(e), e.Title), reason)
}

// withFee changes lines of an order, and returns it as it stands then: the outlet's fee goes with them, unless it was corrected before.
func withFee(t *Book, o order.Order, change func() error) (order.Order, error) {
	before, err := t.feeOf(o)
	if err != nil {
		return o, err
	}
	if err := change(); err != nil {
		return o, err
	}
	follows := o.Fee == before
	if o, err = t.Order(o.ID); err != nil || !follows {
		return o, err
	}
	o.Fee, err = t.feeOf(o)
	return o, err
}

// CloseWhenSent closes an open order when every live line is sent, and says whether it did.
func (t *Book) CloseWhenSent(o *order.Order, day calendar.Day) bool {
	if o.State != order.Open {
		return false
	}
	for _, l := range o.Live() {
		if !l.Sent {
			return false
		}
	}
	o.State, o.Closed = order.Closed, day
	return true
}

// signedOn returns the day on which a signed number was signed last; no day for an unsigned one.
func (t *Book) signedOn(e edition.Edition, n edition.Number, st edition.Standing) (calendar.Day, error) {
	var day calendar.Day
	if !st.Signed {
		return day, nil
	}
	history, err := t.History(e.ID, n)
	if err != nil {
		return day, err
	}
	for _, x := range history {
		if x.Step == edition.Sign {
			day = x.Day
		}
	}
	return day, nil
}
