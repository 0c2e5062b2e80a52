package numbers

import (
	"slices"

	"solander/calendar"
	"solander/edition"
	"solander/store/engine"
	"solander/store/table"
	"solander/studio"
)

// unwritten are entries that are made and not written yet, of numbers that go several steps at once, or that were foreseen.
type unwritten struct {
	entries []edition.Entry
	moves   []move
	of      map[studio.NumberKey]int // place of a number's move
	freed   map[int64]bool           // lines that lost their number
}

// move is the row of a number that moves along: from its turn before to how it stands.
type move struct {
	studio.NumberKey
	before int
	now    impression
	day    calendar.Day
}

// add takes an entry with the number's turn before it and its row after it.
func (u *unwritten) add(e edition.Entry, before, now impression) {
	if u.of == nil {
		u.of, u.freed = map[studio.NumberKey]int{}, map[int64]bool{}
	}
	u.entries = append(u.entries, e)
	k := studio.NumberKey{Edition: e.Edition, Number: e.Number}
	at, ok := u.of[k]
	if !ok {
		at = len(u.moves)
		u.of[k], u.moves = at, append(u.moves, move{NumberKey: k, before: before.Turn})
	}
	u.moves[at].now, u.moves[at].day = now, e.Day
	if before.Line != 0 && before.Line != now.Line {
		u.freed[before.Line] = true
	}
}

// mostUnwritten bounds the entries that wait to be written.
const mostUnwritten = 1024

// enter makes the entry, and how the number stands after it. Both are written before the next statement.
func (t *RegisterRows) enter(before impression, past []edition.Entry, e edition.Entry) (edition.Entry, error) {
	if err := t.conn.MayWrite(); err != nil {
		return e, err
	}
	if err := t.last(); err != nil {
		return e, err
	}
	if t.fresh.freed[e.After.Line] || len(t.fresh.entries) >= mostUnwritten {
		if err := t.conn.Settle(); err != nil { // no two numbers may hold a line, in whatever order they are written
			return e, err
		}
	}
	t.seq++
	e.At, e.Seq = t.latest, t.seq
	now := projected(before, past, e)
	t.fresh.add(e, before, now)
	t.after(before, now, e)
	t.conn.Later(t.write)
	t.tally(before.Standing, e)
	return e, nil
}

// write writes what is unwritten. The unique index and the trigger have the last word on the turns: when they refuse, another
// writer was quicker, and the whole transaction may run again.
func (t *RegisterRows) write() error {
	fresh, current := t.fresh, t.ahead.changes == t.conn.Changes()
	t.fresh = unwritten{}
	_, err := Entries.InsertAll(t.conn, fresh.entries, "")
	if c := engine.CauseOf(err); err != nil && (c == engine.Unique || c == engine.Trigger) {
		t.conn.Repeat()
		return moved(fresh.entries[len(fresh.entries)-1]).Because(err)
	}
	if err != nil {
		return err
	}
	for part := range table.Portions(fresh.moves) {
		if err := t.move(part); err != nil {
			return err
		}
	}
	if err := t.log.AppendEntries(fresh.entries); err != nil {
		return err
	}
	if current { // what was foreseen of lines holds on: nobody else wrote
		t.ahead.changes = t.conn.Changes()
	}
	return nil
}

// move moves the rows of numbers along.
func (t *RegisterRows) move(part []move) error {
	args := make([]any, 0, 13*len(part))
	for _, m := range part {
		now := m.now
		args = append(args, m.Edition, m.Number.Kind, m.Number.N, now.State, table.Optional(now.Line), now.Signed, now.Struck, now.Turn,
			available(now.Standing), m.day, now.signedOn, now.sentMark, m.before)
	}
	n, err := t.conn.Exec(moving.For(len(part)), args...)
	if err == nil && n != int64(len(part)) {
		t.conn.Repeat()
		return moved(edition.Entry{Edition: part[0].Edition, Number: part[0].Number})
	}
	return engine.When(err, engine.Unique, heldAlready(part[0].now.Line))
}

// moving are the statements that move so many numbers along.
var moving = table.BySize(func(n int) string {
	if n == 1 {
		return `UPDATE impressions SET state = $4, line = $5, signed = $6, struck = $7, turn = $8, available = $9, day = $10,
			signed_on = $11, sent_mark = $12 WHERE edition = $1 AND kind = $2 AND number = $3 AND turn = $13`
	}
	types := slices.Repeat([]string{"BIGINT"}, 13)
	for _, at := range []int{1, 3, 9, 10, 11} {
		types[at] = "TEXT"
	}
	return `UPDATE impressions SET state = v.column4, line = v.column5, signed = v.column6, struck = v.column7, turn = v.column8,
		available = v.column9, day = v.column10, signed_on = v.column11, sent_mark = v.column12 FROM ` + table.Listed(n, types...) + ` AS v
		WHERE edition = v.column1 AND kind = v.column2 AND number = v.column3 AND impressions.turn = v.column13`
})
