package numbers

import (
	"solander/calendar"
	"solander/edition"
	"solander/fault"
	"solander/store/table"
)

// Append adds an entry and moves the number's standing along.
//
//   - The entry's turn must be the one after the number's latest: else somebody was quicker, and what
//     the caller looked at is old.
//   - Its standing must be what edition's rules make of the step.
//   - A line that it gives the number to must be of the same edition and hold no other number.
func (t *RegisterRows) Append(e edition.Entry) (edition.Entry, error) {
	r, err := t.impression(e.Edition, e.Number)
	if err != nil {
		return e, err
	}
	before := r.row
	e.Turn = e.After.Turn
	if e.Turn != before.Turn+1 {
		return e, moved(e)
	}
	past, err := t.follows(before.Standing, e)
	if err != nil {
		return e, err
	}
	if err := t.mayHold(before.Standing, e); err != nil {
		return e, err
	}
	return t.enter(before, past, e)
}

// last makes t.latest and t.seq those of the entry that stands last: the instant is now, but never before it, whatever was
// done to the clock.
func (t *RegisterRows) last() error {
	if t.latest.IsZero() {
		if _, err := t.conn.One(`SELECT seq, at FROM register ORDER BY seq DESC LIMIT 1`, nil, &t.seq, table.Instant(&t.latest)); err != nil {
			return err
		}
	}
	if now := t.conn.Now(); now.After(t.latest) {
		t.latest = now
	}
	return nil
}

func moved(e edition.Entry) *fault.Error {
	return fault.New(fault.Taken, "number %s has moved on since it was looked at", e.Number).
		At("edition %d", e.Edition).ToMend("look at it again").In("number")
}

// follows checks the entry against the rules, and returns the number's entries when they were needed.
func (t *RegisterRows) follows(before edition.Standing, e edition.Entry) ([]edition.Entry, error) {
	var want edition.Standing
	var past []edition.Entry
	var err error
	if e.Step == edition.Correct {
		if past, err = t.History(e.Edition, e.Number); err != nil {
			return nil, err
		}
		want, err = edition.Corrected(past)
	} else {
		want, err = before.After(e.Step, e.After.Line, e.Note)
	}
	if err == nil && want != e.After {
		err = fault.New(fault.Refused, "the step %q does not lead there", e.Step).At("number %s of edition %d", e.Number, e.Edition)
	}
	return past, err
}

func (t *RegisterRows) mayHold(before edition.Standing, e edition.Entry) error {
	line := e.After.Line
	if line == 0 || line == before.Line {
		return nil
	}
	s, err := t.stand(line)
	switch {
	case err != nil:
		return err
	case s.edition != e.Edition:
		return fault.New(fault.Refused, "the order line is of another edition").At("line %d", line).In("number")
	case s.holds:
		return heldAlready(line)
	}
	return nil
}

func heldAlready(line int64) *fault.Error {
	return fault.New(fault.Taken, "the order line has a number already").At("line %d", line).ToMend("release that one first").In("number")
}

// projected is the number's row after an entry.
func projected(before impression, past []edition.Entry, e edition.Entry) impression {
	now := impression{Standing: e.After, signedOn: signedOn(before, past, e), sentMark: before.sentMark}
	switch e.Step {
	case edition.Send:
		now.sentMark = e.Order
	case edition.Correct:
		now.sentMark = lastSent(edition.InForce(append(past, e)))
	}
	return now
}

// lastSent is the mark of the order with which a number was sent last; "" when it never was.
func lastSent(valid []edition.Entry) string {
	for i := len(valid) - 1; i >= 0; i-- {
		if valid[i].Step == edition.Send {
			return valid[i].Order
		}
	}
	return ""
}

// available reports whether a line may have the number without anybody asking for it.
func available(s edition.Standing) bool {
	return s.Lot() == edition.Unsold
}

// signedOn is the day on which the sheet that the number now stands on was signed.
func signedOn(before impression, past []edition.Entry, e edition.Entry) calendar.Day {
	switch {
	case !e.After.Signed:
		return calendar.Day{}
	case before.Signed:
		return before.signedOn
	}
	for i := len(past) - 1; i >= 0; i-- {
		if past[i].Step == edition.Sign {
			return past[i].Day
		}
	}
	return e.Day
}
