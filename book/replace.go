package book

import (
	"solander/calendar"
	"solander/edition"
	"solander/fault"
	"solander/order"
	"solander/register"
)

// ReplaceIn sends prints again that were damaged or lost on the way.
type ReplaceIn struct {
	Order     int64
	Lines     []int64      // that were sent
	Promised  calendar.Day // zero: by the outlet's promise, from today
	NewNumber bool         // another number instead of the same one, struck again
	Reason    string
}

// Replace takes prints back as spoilt and puts each onto its order again, at its price: with its number, which is struck again, or, when that was
// done once already or is not wanted, with the lowest that is free. The order is open again, and what was paid for it stays. It returns the new
// lines. Faults: Invalid; Missing; Refused when a print was not sent, or no number is left.
func (t *Book) Replace(in ReplaceIn) ([]int64, error) {
	back := TakeBackIn{Order: in.Order, Lines: in.Lines, Spoilt: true, Reason: in.Reason}
	if err := back.Validate(); err != nil {
		return nil, err
	}
	o, lines, _, err := t.linesBack(back)
	if err != nil {
		return nil, err
	}
	u, err := t.OutletOf(o.Outlet)
	if err != nil {
		return nil, err
	}
	if o.Promised = in.Promised; o.Promised.IsZero() {
		o.Promised = t.Working.Add(t.Today, u.PromiseDays)
	}
	if err := promiseIn(t.Today, o.Promised); err != nil {
		return nil, err
	}
	var out []int64
	for _, l := range lines {
		id, err := t.again(o, l, in)
		if err != nil {
			return nil, err
		}
		out = append(out, id)
	}
	o.State, o.Closed = order.Open, calendar.Day{}
	return out, t.SaveOrder(o)
}

// again puts a print onto its order once more, and returns its line.
func (t *Book) again(o order.Order, was order.Line, in ReplaceIn) (int64, error) {
	e, err := t.EditionOf(was.Edition)
	if err != nil {
		return 0, err
	}
	l := order.Line{Order: o.ID, Edition: was.Edition, Price: was.Price}
	told := "another sheet"
	if !was.Number.IsZero() {
		if l.Number, err = t.numberAgain(o, e, was, in); err != nil {
			return 0, err
		}
		told = l.Number.Of(e)
	}
	if l.ID, err = t.AddLine(l); err != nil {
		return 0, err
	}
	if !l.Number.IsZero() {
		note := "instead of a print that was spoilt on its way"
		if _, err := register.In(t.Turn).Take(register.StepOf{Ed: e, Number: l.Number, Step: edition.Promise, Line: l.ID, Order: o.Mark, Note: note}); err != nil {
			return 0, err
		}
	}
	return l.ID, t.Note(o.ID, "%s of %s is sent again: %s", told, e.Title, in.Reason)
}

// numberAgain is the number of a print that is sent again: its own, struck again, or the lowest that is free.
func (t *Book) numberAgain(o order.Order, e edition.Edition, was order.Line, in ReplaceIn) (edition.Number, error) {
	st, err := t.Standing(e.ID, was.Number)
	if err != nil {
		return edition.Number{}, err
	}
	if !in.NewNumber && st.Struck == 0 {
		_, err := register.In(t.Turn).Take(register.StepOf{Ed: e, Number: was.Number, Step: edition.Restrike, Order: o.Mark, Note: in.Reason})
		return was.Number, err
	}
	n, err := t.Lowest(e.ID, was.Number.Kind)
	return n, fault.InField(err, "new_number")
}
