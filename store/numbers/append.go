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

// instant makes t.latest that of the next entry: now, but never before the entry that stands last, whatever was done to
// the clock.
func (t *RegisterRows) instant() error {
	if !t.latest.IsZero() {
		return nil
	}
	t.latest = t.conn.Now()
	var last time.Time
	found, err := t.conn.One(`SELECT at FROM register ORDER BY seq DESC LIMIT 1`, nil, table.Instant(&last))
	if err == nil && found && last.After(t.conn.Now()) {
		t.latest = last
	}
	return err
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

var insertEntry = Entries.Adding("(SELECT coalesce(max(seq), 0) + 1 FROM register)") + " RETURNING seq"

// enter writes the entry. The unique index and the trigger have the last word on its turn: when they
// refuse, another writer was quicker, and the whole transaction may run again.
func (t *RegisterRows) enter(before impression, past []edition.Entry, e edition.Entry) (edition.Entry, error) {
	if err := t.conn.MayWrite(); err != nil {
		return e, err
	}
	if err := t.instant(); err != nil {
		return e, err
	}
	e.At = t.latest
	values, err := Entries.Values(e)
	if err != nil {
		return e, err
	}
	_, err = t.conn.One(insertEntry, values[1:], &e.Seq)
	if c := engine.CauseOf(err); err != nil && (c == engine.Unique || c == engine.Trigger) {
		t.conn.Repeat()
		return e, moved(e).Because(err)
	}
	if err != nil {
		return e, err
	}
	if err := t.project(before, past, e); err != nil {
		return e, err
	}
	t.tally(before.Standing, e)
	return e, nil
}

// project moves the number's row along with its entry.
func (t *RegisterRows) project(before impression, past []edition.Entry, e edition.Entry) error {
	a, sentMark := e.After, before.sentMark
	now := impression{Standing: a, signedOn: signedOn(before, past, e)}
	switch e.Step {
	case edition.Send:
		sentMark = e.Order
	case edition.Correct:
		sentMark = lastSent(edition.InForce(append(past, e)))
	}
	n, err := t.conn.Exec(`UPDATE impressions SET state = $4, line = $5, signed = $6, struck = $7, turn = $8, available = $9, day = $10,
		signed_on = $11, sent_mark = $12 WHERE edition = $1 AND kind = $2 AND number = $3 AND turn = $13`,
		e.Edition, e.Number.Kind, e.Number.N, a.State, table.Optional(a.Line), a.Signed, a.Struck, a.Turn, available(a), e.Day,
		now.signedOn, sentMark, before.Turn)
	if err == nil && n != 1 {
		t.conn.Repeat()
		return moved(e)
	}
	if err != nil {
		return engine.When(err, engine.Unique, heldAlready(a.Line))
	}
	now.sentMark = sentMark
	t.number.after(now, e)
	return nil
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
