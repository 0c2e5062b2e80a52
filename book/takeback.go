package book

import (
	"context"

	"solander/edition"
	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/register"
	"solander/stockroom"
	"solander/studio"
	"solander/supply"
)

// TakeBackIn takes sent prints back.
type TakeBackIn struct {
	Order  int64
	Lines  []int64 // empty: all that were sent
	Spoilt bool    // they came back damaged, or were lost on the way
	Reason string
	Refund money.Amount  // in the currency in which the order is owed
	Worth  *money.Amount // of another currency than the book's, what the bank took for it; nil: by the rate of the day
}

// Validate looks at the return alone. Faults: Invalid.
func (in TakeBackIn) Validate() error {
	var l fault.List
	l.Add(studio.ReasonGiven(in.Reason))
	l.Add(studio.Amount("refund", in.Refund))
	l.Check(len(in.Lines) <= mostLines, "lines", "too many prints", "name each once")
	return l.Err()
}

// TakeBack takes prints back after hand-over: whole, their numbers are returned and the sheets lie in
// the drawer again, signed; or spoilt, with the reason. They are no longer due. An order of which
// nothing is left is returned. Faults: Invalid, Missing, Refused when a print was not sent.
func TakeBack(ctx context.Context, s *studio.Studio, in TakeBackIn) error {
	if err := in.Validate(); err != nil {
		return err
	}
	return write(ctx, s, func(t *Book) error {
		_, err := t.TakeBack(in)
		return err
	})
}

// TakeBack is the use case TakeBack within a transaction, and says what UndoBack needs of prints that came back spoilt.
func (t *Book) TakeBack(in TakeBackIn) (CameBack, error) {
	o, _, prints, err := t.linesBack(in)
	if err != nil {
		return CameBack{}, err
	}
	u := CameBack{Order: o.ID, Prints: prints, Was: o.State, WasClosed: o.Closed}
	if u.Payment, err = t.takenBack(o, in); err != nil {
		return u, err
	}
	o, err = t.Order(o.ID)
	u.Is, u.Paid = o.State, o.Paid()
	return u, err
}

// linesBack takes the lines back that are asked for. The order is as it was before.
func (t *Book) linesBack(in TakeBackIn) (o order.Order, lines []order.Line, out []PrintBack, err error) {
	if o, err = t.Order(in.Order); err != nil {
		return o, nil, nil, err
	}
	if lines, err = sentLines(o, in.Lines); err != nil {
		return o, nil, nil, err
	}
	for _, l := range lines {
		p, err := t.lineBack(o, l, in)
		if err != nil {
			return o, nil, nil, err
		}
		out = append(out, p)
	}
	return o, lines, out, nil
}

// sentLines returns the lines asked for, or all that were sent. Faults: Missing, Refused.
func sentLines(o order.Order, ids []int64) ([]order.Line, error) {
	var out []order.Line
	if len(ids) == 0 {
		for _, l := range o.Live() {
			if l.Sent {
				out = append(out, l)
			}
		}
	}
	seen := map[int64]bool{}
	for _, id := range ids {
		l, ok := studio.LineOf(o, id)
		switch {
		case !ok:
			return nil, fault.New(fault.Missing, "line %d is not of this order", id).At("%s", o.Mark).In("lines")
		case !l.Sent || l.Dropped || seen[id]:
			return nil, fault.New(fault.Refused, "this print is not with the buyer").At("%s", o.Mark).In("lines").ToMend("choose prints that were sent")
		}
		seen[id] = true
		out = append(out, l)
	}
	if len(out) == 0 {
		return nil, fault.New(fault.Refused, "nothing of it was handed over").At("%s", o.Mark).ToMend("cancel the order instead")
	}
	return out, nil
}

func (t *Book) lineBack(o order.Order, l order.Line, in TakeBackIn) (PrintBack, error) {
	out := PrintBack{Line: l.ID}
	e, err := t.EditionOf(l.Edition)
	if err != nil {
		return out, err
	}
	steps := []edition.Step{edition.Return}
	if in.Spoilt {
		steps = append(steps, edition.Spoil)
	}
	for _, step := range steps {
		if l.Number.IsZero() {
			break
		}
		entry, err := register.In(t.Turn).Take(register.StepOf{Ed: e, Number: l.Number, Step: step, Order: o.Mark, Note: in.Reason})
		if err != nil {
			return out, err
		}
		out.Turns = append(out.Turns, entry.Turn)
	}
	if !in.Spoilt {
		if err := stockroom.In(t.Turn).Sheets(e, 1, supply.Why{Cause: supply.CameBack, Line: l.ID}, o.Mark+" came back"); err != nil {
			return out, err
		}
	}
	l.Dropped = true
	if err := t.SaveLine(l); err != nil {
		return out, err
	}
	return out, t.Note(o.ID, "%s came back%s: %s", studio.Named(l.Number.Of(e), e.Title), map[bool]string{true: " spoilt"}[in.Spoilt], in.Reason)
}

// takenBack leaves an order of which nothing is left as returned, and pays back. It says by which payment; 0 = by none.
func (t *Book) takenBack(o order.Order, in TakeBackIn) (int64, error) {
	o, err := t.Order(o.ID)
	if err != nil {
		return 0, err
	}
	if len(o.Live()) == 0 {
		o.State, o.Closed = order.Returned, t.Today
	}
	t.CloseWhenSent(&o, t.Today)
	if err := t.SaveOrder(o); err != nil {
		return 0, err
	}
	back, err := t.refund(o, t.Today, PaymentIn{Amount: in.Refund, Worth: in.Worth, Note: in.Reason}, "refund")
	return back.ID, err
}
