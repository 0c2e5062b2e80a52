package studio

import (
	"context"

	"solander/edition"
	"solander/fault"
	"solander/order"
)

// Renumber gives a line another number: the one wanted, or with "" the lowest. The old one is released:
// free, or signed in the drawer when it was signed; a spoilt one stays spoilt.
// Faults: Invalid, Missing, Taken, Refused when the print is packed or sent.
func (s *Studio) Renumber(ctx context.Context, line int64, wanted string) error {
	if err := order.Text("number", wanted, 20, false); err != nil {
		return err
	}
	return s.write(ctx, func(t *turn) error {
		o, l, err := t.changeable(line)
		if err != nil {
			return err
		}
		e, err := t.edition(l.Edition)
		if err != nil {
			return err
		}
		if e.Open() {
			return fault.New(fault.Refused, "an open edition has no numbers").At("%s", e.Title).In("number")
		}
		return t.renumber(o, l, e, wanted)
	})
}

func (t *turn) renumber(o order.Order, l order.Line, e edition.Edition, wanted string) error {
	n, err := edition.ParseNumber(wanted, e)
	if err == nil && n == l.Number {
		return fault.Invalidf("number", "it has that number already").At("%s", n.Of(e)+" of "+e.Title).ToMend("choose another one")
	}
	if n, err = t.choose(e, wanted); err != nil {
		return inField(err, "number")
	}
	old := l.Number
	if err := t.release(o, l, e, "renumbered to "+n.Of(e)); err != nil {
		return err
	}
	entry, err := t.take(stepOf{ed: e, number: n, step: edition.Promise, line: l.ID, order: o.Mark, note: "instead of " + old.Of(e)})
	if err != nil {
		return err
	}
	l.Number, l.Signed = n, entry.After.Signed
	if l.SignedDay, err = t.signedOn(e, n, entry.After); err != nil {
		return err
	}
	if err := t.SaveLine(l); err != nil {
		return err
	}
	return t.note(o.ID, "%s of %s instead of %s", n.Of(e), e.Title, old.Of(e))
}

// changeable reads a live line of an open order that is neither packed nor sent.
func (t *turn) changeable(line int64) (order.Order, order.Line, error) {
	o, l, err := t.line(line)
	if err != nil {
		return o, l, err
	}
	if err := stillOpen(o); err != nil {
		return o, l, err
	}
	switch {
	case l.Dropped:
		err = fault.New(fault.Refused, "this print was taken out of the order").At("%s", o.Mark)
	case l.Sent:
		err = fault.New(fault.Refused, "this print was handed over").At("%s", o.Mark).ToMend("take it back first")
	case l.Parcel != 0:
		err = fault.New(fault.Refused, "this print is packed").At("%s", o.Mark).ToMend("undo the packing first")
	}
	return o, l, err
}

// release gives the number of a line back; nothing for an open edition.
func (t *turn) release(o order.Order, l order.Line, e edition.Edition, note string) error {
	if l.Number.IsZero() {
		return nil
	}
	st, err := t.Standing(e.ID, l.Number)
	if err != nil {
		return err
	}
	if st.Line != l.ID {
		return nil
	}
	_, err = t.take(stepOf{ed: e, number: l.Number, step: edition.Release, order: o.Mark, note: note})
	return err
}
