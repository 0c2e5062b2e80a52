package numbers

import (
	"time"

	"solander/calendar"
	"solander/edition"
	"solander/fault"
	"solander/store/engine"
	"solander/store/table"
)

// Append adds an entry and moves the number's standing along.
//
//   - The entry's turn must be the one after the number's latest: else somebody was quicker, and what
//     the caller looked at is old.
//   - Its standing must be what edition's rules make of the step.
//   - A line that it gives the number to must be of the same edition and hold no other number.
func (t *RegisterRows) Append(e edition.Entry) (edition.Entry, error) {
	before, err := t.impression(e.Edition, e.Number)
	if err != nil {
		return e, err
	}
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
	if !t.latest.IsZero() {
		return nil
	}
	var last time.Time
	if _, err := t.conn.One(`SELECT seq, at FROM register ORDER BY seq DESC LIMIT 1`, nil, &t.seq, table.Instant(&last)); err != nil {
		return err
	}
	if t.latest = t.conn.Now(); last.After(t.latest) {
		t.latest = last
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
		if past, err = t.history(e.Edition, e.Number); err != nil {
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
	var ed, held int64
	found, err := t.conn.One(`SELECT l.edition, i.edition FROM lines l LEFT JOIN impressions i ON i.line = l.id WHERE l.id = $1`,
		[]any{line}, &ed, table.Ref(&held))
	switch err := table.Must(found, err, "order line %d", line); {
	case err != nil:
		return err
	case ed != e.Edition:
		return fault.New(fault.Refused, "the order line is of another edition").At("line %d", line).In("number")
	case held != 0:
		return heldAlready(line)
	}
	return nil
}

func heldAlready(line int64) *fault.Error {
	return fault.New(fault.Taken, "the order line has a number already").At("line %d", line).ToMend("release that one first").In("number")
}

// enter makes the entry, and how the number stands after it. Both are written before the next statement: a number often goes
// several steps at once.
func (t *RegisterRows) enter(before impression, past []edition.Entry, e edition.Entry) (edition.Entry, error) {
	if err := t.conn.MayWrite(); err != nil {
		return e, err
	}
	if err := t.last(); err != nil {
		return e, err
	}
	t.seq++
	e.At, e.Seq = t.latest, t.seq
	if len(t.fresh) == 0 {
		t.before = before.Turn
	}
	t.fresh, t.now = append(t.fresh, e), projected(before, past, e)
	t.number.after(t.now, e)
	t.conn.Later(t.write)
	t.tally(before.Standing, e)
	return e, nil
}

// write writes the entries that are new, all of one number, and moves its row along. The unique index and the trigger have the
// last word on their turns: when they refuse, another writer was quicker, and the whole transaction may run again.
func (t *RegisterRows) write() error {
	fresh := t.fresh
	t.fresh = nil
	_, err := Entries.InsertAll(t.conn, fresh)
	e := fresh[len(fresh)-1]
	if c := engine.CauseOf(err); err != nil && (c == engine.Unique || c == engine.Trigger) {
		t.conn.Repeat()
		return moved(e).Because(err)
	}
	if err != nil {
		return err
	}
	now := t.now
	n, err := t.conn.Exec(`UPDATE impressions SET state = $4, line = $5, signed = $6, struck = $7, turn = $8, available = $9, day = $10,
		signed_on = $11, sent_mark = $12 WHERE edition = $1 AND kind = $2 AND number = $3 AND turn = $13`,
		e.Edition, e.Number.Kind, e.Number.N, now.State, table.Optional(now.Line), now.Signed, now.Struck, now.Turn, available(now.Standing), e.Day,
		now.signedOn, now.sentMark, t.before)
	if err == nil && n != 1 {
		t.conn.Repeat()
		return moved(e)
	}
	return engine.When(err, engine.Unique, heldAlready(now.Line))
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
	return s.Line == 0 && (s.State == edition.Free || s.State == edition.Signed)
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
