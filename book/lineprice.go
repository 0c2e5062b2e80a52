package book

import (
	"context"

	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/studio"
)

// LinePrice changes what a print of an open order costs its buyer. The outlet's fee goes with it, unless it was corrected before. What a credit
// note took off already is not taken off twice; see order.Credit.
// Faults: Invalid, Missing, Refused for a print that is packed, or was handed over: there a credit note takes off what is too much.
func LinePrice(ctx context.Context, s *studio.Studio, line int64, price money.Amount) error {
	if err := studio.Amount("price", price); err != nil {
		return err
	}
	return write(ctx, s, func(t *Book) error {
		o, l, err := t.Line(line)
		switch {
		case err != nil:
			return err
		case o.State != order.Open || l.Sent:
			return fault.New(fault.Refused, "this print was sold at its price: it left, or its order is not open any more").At("%s", o.Mark).In("price").
				ToMend("correct its invoice by a credit note over what is too much, and pay back what was paid of that")
		}
		if o, l, err = t.Changeable(line); err != nil {
			return fault.InField(err, "price")
		}
		return linePrice(t, o, l, price)
	})
}

func linePrice(t *Book, o order.Order, l order.Line, price money.Amount) error {
	e, err := t.EditionOf(l.Edition)
	if err != nil {
		return err
	}
	was := l.Price
	if l.Price, err = t.Cash("price", price); err != nil || l.Price == was {
		return err
	}
	if o, err = withFee(t, o, func() error { return t.SaveLine(l) }); err != nil {
		return err
	}
	if err := t.SaveOrder(o); err != nil {
		return err
	}
	return t.Note(o.ID, "price of %s changed from %s to %s", studio.Named(l.Number.Of(e), e.Title), was, l.Price)
}
