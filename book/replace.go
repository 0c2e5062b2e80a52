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
// done once already or is not wanted, with the lowest that is free. The order is open again, and what was paid for it stays. It returns what
// UndoReplace needs, with the new lines. Faults: Invalid; Missing; Refused when a print was not sent, or no number is left.
func (t *Book) Replace(in ReplaceIn) (Replaced, error) {
	back := TakeBackIn{Order: in.Order, Lines: in.Lines, Spoilt: true, Reason: in.Reason}
	var done Replaced
	if err := back.Validate(); err != nil {
		return done, err
	}
	o, lines, prints, err := t.linesBack(back)
	if err != nil {
		return done, err
	}
	done = Replaced{Order: o.ID, Prints: prints, Was: o.State, WasClosed: o.Closed, WasPromised: o.Promised}
	u, err := t.OutletOf(o.Outlet)
	if err != nil {
		return done, err
	}
	if o.Promised = in.Promised; o.Promised.IsZero() {
		o.Promised = t.Working.Add(t.Today, u.PromiseDays)
	}
	if err := promiseIn(t.Today, o.Promised); err != nil {
		return done, err
	}
	done.Promised = o.Promised
	for i, l := range lines {
		is, struck, err := t.again(o, l, in)
		if err != nil {
			return done, err
		}
		if done.Instead = append(done.Instead, is); struck != 0 {
			done.Prints[i].Turns = append(done.Prints[i].Turns, struck)
		}
	}
	o.State, o.Closed = order.Open, calendar.Day{}
	return done, t.SaveOrder(o)
}

// again puts a print onto its order once more, and returns its line with the turn of the promise, and that of striking its number again.
func (t *Book) again(o order.Order, was order.Line, in ReplaceIn) (is PrintBack, struck int, err error) {
	e, err := t.EditionOf(was.Edition)
	if err != nil {
		return is, 0, err
	}
	l := order.Line{Order: o.ID, Edition: was.Edition, Price: was.Price}
	told := "another sheet"
	if !was.Number.IsZero() {
		if l.Number, struck, err = t.numberAgain(o, e, was, in); err != nil {
			return is, 0, err
		}
		told = l.Number.Of(e)
	}
	if l.ID, err = t.AddLine(l); err != nil {
		return is, 0, err
	}
	is.Line = l.ID
	if !l.Number.IsZero() {
		note := "instead of a print that was spoilt on its way"
		entry, err := register.In(t.Turn).Take(register.StepOf{Ed: e, Number: l.Number, Step: edition.Promise, Line: l.ID, Order: o.Mark, Note: note})
		if err != nil {
			return is, 0, err
		}
		is.Turns = append(is.Turns, entry.Turn)
	}
	return is, struck, t.Note(o.ID, "%s of %s is sent again: %s", told, e.Title, in.Reason)
}

// numberAgain is the number of a print that is sent again: its own, struck again, in which turn; or the lowest that is free.
func (t *Book) numberAgain(o order.Order, e edition.Edition, was order.Line, in ReplaceIn) (n edition.Number, struck int, err error) {
	st, err := t.Standing(e.ID, was.Number)
	if err != nil {
		return n, 0, err
	}
	if !in.NewNumber && st.Struck == 0 {
		entry, err := register.In(t.Turn).Take(register.StepOf{Ed: e, Number: was.Number, Step: edition.Restrike, Order: o.Mark, Note: in.Reason})
		return was.Number, entry.Turn, err
	}
	n, err = t.Lowest(e.ID, was.Number.Kind)
	return n, 0, fault.InField(err, "new_number")
}
