package store

import (
	"database/sql"
	"slices"
	"strconv"
	"strings"

	"solander/calendar"
	"solander/edition"
	"solander/fault"
	"solander/studio"
)

// impression is a row of the projection: a standing and what is kept beside it.
type impression struct {
	edition.Standing
	signedOn calendar.Day
	sentMark string
}

func (t *tx) impression(ed int64, n edition.Number) (impression, error) {
	if t.memory.number.is(ed, n) {
		return t.memory.number.row, nil
	}
	var p impression
	found, err := t.one(`SELECT state, line, signed, struck, turn, signed_on, sent_mark FROM impressions
		WHERE edition = $1 AND kind = $2 AND number = $3`, []any{ed, n.Kind, n.N},
		&p.State, reference{&p.Line}, &p.Signed, &p.Struck, &p.Turn, day{&p.signedOn}, &p.sentMark)
	err = must(found, err, "number %q of edition %d", n, ed)
	if err == nil {
		t.memory.number = rememberedNumber{edition: ed, number: n, row: p}
	}
	return p, err
}

func (t *tx) Standing(ed int64, n edition.Number) (edition.Standing, error) {
	p, err := t.impression(ed, n)
	return p.Standing, err
}

// Lowest needs no lock of its own: whoever writes is the only writer until its transaction ends.
func (t *tx) Lowest(ed int64, kind edition.Kind) (edition.Number, error) {
	n := edition.Number{Kind: kind}
	found, err := t.one(`SELECT number FROM impressions WHERE edition = $1 AND kind = $2 AND available = 1 ORDER BY number LIMIT 1`,
		[]any{ed, kind}, &n.N)
	if err != nil || found {
		return n, err
	}
	if _, err := t.Edition(ed); err != nil {
		return edition.Number{}, err
	}
	return edition.Number{}, noneLeft(kind.Long()).At("edition %d", ed)
}

func noneLeft(what string) *fault.Error {
	return fault.New(fault.Refused, "no %s is left", what).ToMend("choose another edition, or release a number").In("number")
}

func (t *tx) LowestCommon(eds []int64) (edition.Number, error) {
	n := edition.Number{Kind: edition.Numbered}
	if len(eds) == 0 {
		return edition.Number{}, fault.Invalidf("lines", "no edition was named")
	}
	var query strings.Builder
	var args []any
	query.WriteString(`SELECT number FROM impressions i WHERE edition = $1 AND kind = 'N' AND available = 1`)
	for i, ed := range eds {
		if _, err := t.Edition(ed); err != nil {
			return edition.Number{}, err
		}
		args = append(args, ed)
		if i > 0 {
			query.WriteString(` AND EXISTS (SELECT 1 FROM impressions WHERE edition = $` + strconv.Itoa(i+1) +
				` AND kind = 'N' AND available = 1 AND number = i.number)`)
		}
	}
	query.WriteString(` ORDER BY number LIMIT 1`)
	found, err := t.one(query.String(), args, &n.N)
	if err == nil && !found {
		return edition.Number{}, noneLeft("number that all these editions have")
	}
	return n, err
}

func (t *tx) Numbers(ed int64) ([]studio.NumberRow, error) {
	if _, err := t.Edition(ed); err != nil {
		return nil, err
	}
	return list(t, scanNumber, `SELECT i.kind, i.number, i.state, i.line, i.signed, i.struck, i.turn, i.day,
			coalesce(h.mark, i.sent_mark), coalesce(h.id, s.id), coalesce(b.name, '')
		FROM impressions i
		LEFT JOIN lines l ON l.id = i.line
		LEFT JOIN orders h ON h.id = l.order_id
		LEFT JOIN orders s ON i.line IS NULL AND i.sent_mark <> '' AND s.mark = i.sent_mark
		LEFT JOIN buyers b ON b.id = coalesce(h.buyer, s.buyer)
		WHERE i.edition = $1
		ORDER BY CASE i.kind WHEN 'N' THEN 0 WHEN 'AP' THEN 1 WHEN 'PP' THEN 2 WHEN 'HC' THEN 3 ELSE 4 END, i.number`, ed)
}

func scanNumber(rows *sql.Rows) (r studio.NumberRow, err error) {
	err = rows.Scan(&r.Number.Kind, &r.Number.N, &r.Standing.State, reference{&r.Standing.Line}, &r.Standing.Signed, &r.Standing.Struck,
		&r.Standing.Turn, day{&r.Day}, &r.OrderMark, reference{&r.Order}, &r.Buyer)
	return r, err
}

const entryColumns = "seq, edition, kind, number, turn, step, state, line, signed, struck, order_mark, day, at, who, note, undoes"

func scanEntry(rows *sql.Rows) (e edition.Entry, err error) {
	err = rows.Scan(&e.Seq, &e.Edition, &e.Number.Kind, &e.Number.N, &e.Turn, &e.Step, &e.After.State, &e.After.Line, &e.After.Signed,
		&e.After.Struck, &e.Order, day{&e.Day}, instant{&e.At}, &e.Who, &e.Note, &e.Undoes)
	e.After.Turn = e.Turn
	return e, err
}

func (t *tx) History(ed int64, n edition.Number) ([]edition.Entry, error) {
	if _, err := t.impression(ed, n); err != nil {
		return nil, err
	}
	return t.history(ed, n)
}

func (t *tx) history(ed int64, n edition.Number) ([]edition.Entry, error) {
	last := &t.memory.number
	if last.is(ed, n) && last.history != nil {
		return slices.Clip(last.history), nil
	}
	out, err := list(t, scanEntry, selectFrom("register", entryColumns, "WHERE edition = $1 AND kind = $2 AND number = $3 ORDER BY turn"), ed, n.Kind, n.N)
	if err == nil && last.is(ed, n) {
		last.history = out
	}
	return slices.Clip(out), err
}

func (t *tx) Entries(after int64, limit int) ([]edition.Entry, error) {
	return list(t, scanEntry, selectFrom("register", entryColumns, "WHERE seq > $1 ORDER BY seq LIMIT $2"), after, max(0, limit))
}

func (t *tx) Counts() (map[int64]map[edition.State]int, error) {
	out := make(map[int64]map[edition.State]int)
	states := edition.States()
	if err := t.keepCounts(); err != nil {
		return nil, err
	}
	err := t.each(`SELECT edition, free, promised, signed, sent, returned, spoilt, kept, withdrawn FROM tallies`, nil, func(rows *sql.Rows) error {
		var ed int64
		n := make([]int, len(states))
		if err := rows.Scan(&ed, &n[0], &n[1], &n[2], &n[3], &n[4], &n[5], &n[6], &n[7]); err != nil {
			return err
		}
		out[ed] = make(map[edition.State]int)
		for i, s := range states {
			if n[i] > 0 {
				out[ed][s] = n[i]
			}
		}
		return nil
	})
	return out, err
}

// Sold counts the numbered impressions that a line holds; of an open edition, the lines that are part
// of an order which still stands.
func (t *tx) Sold(ed int64) (int, error) {
	if err := t.keepCounts(); err != nil {
		return 0, err
	}
	var limit, n int
	found, err := t.one(`SELECT declared_limit, held FROM editions JOIN tallies ON edition = id WHERE id = $1`, []any{ed}, &limit, &n)
	if err := must(found, err, "edition %d", ed); err != nil || limit > 0 {
		return n, err
	}
	_, err = t.one(`SELECT count(*) FROM lines l JOIN orders o ON o.id = l.order_id
		WHERE l.edition = $1 AND l.dropped = 0 AND o.state IN ('open', 'closed')`, []any{ed}, &n)
	return n, err
}

// Unsold counts the numbered impressions that Lowest can give; by index.
func (t *tx) Unsold(ed int64) (int, error) {
	if _, err := t.Edition(ed); err != nil {
		return 0, err
	}
	var n int
	_, err := t.one(`SELECT count(*) FROM impressions WHERE edition = $1 AND kind = 'N' AND available = 1`, []any{ed}, &n)
	return n, err
}
