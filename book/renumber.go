package book

import (
	"context"

	"solander/edition"
	"solander/fault"
	"solander/order"
	"solander/register"
	"solander/studio"
)

// Renumber gives a line another number: the one wanted, or with "" the lowest. The old one is released:
// free, or signed in the drawer when it was signed; a spoilt one stays spoilt.
// Faults: Invalid, Missing, Taken, Refused when the print is packed or sent.
func Renumber(ctx context.Context, s *studio.Studio, line int64, wanted string) error {
	if err := order.Text("number", wanted, 20, false); err != nil {
		return err
	}
	return write(ctx, s, func(t *Book) error {
		o, l, err := t.Changeable(line)
		if err != nil {
			return err
		}
		e, err := t.EditionOf(l.Edition)
		if err != nil {
			return err
		}
		if e.Open() {
			return fault.New(fault.Refused, "an open edition has no numbers").At("%s", e.Title).In("number")
		}
		return t.renumber(o, l, e, wanted)
	})
}

func (t *Book) renumber(o order.Order, l order.Line, e edition.Edition, wanted string) error {
	n, err := edition.ParseNumber(wanted, e)
	if err == nil && n == l.Number {
		return fault.Invalidf("number", "it has that number already").At("%s", n.Of(e)+" of "+e.Title).ToMend("choose another one")
	}
	if n, err = t.choose(e, wanted); err != nil {
		return fault.InField(err, "number")
	}
	old := l.Number
	if err := t.release(o, l, e, "renumbered to "+n.Of(e)); err != nil {
		return err
	}
	entry, err := register.In(t.Turn).Take(register.StepOf{Ed: e, Number: n, Step: edition.Promise, Line: l.ID, Order: o.Mark, Note: "instead of " + old.Of(e)})
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
	return t.Note(o.ID, "%s of %s instead of %s", n.Of(e), e.Title, old.Of(e))
}

// release gives the number of a line back; nothing for an open edition.
func (t *Book) release(o order.Order, l order.Line, e edition.Edition, note string) error {
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
	_, err = register.In(t.Turn).Take(register.StepOf{Ed: e, Number: l.Number, Step: edition.Release, Order: o.Mark, Note: note})
	return err
}
