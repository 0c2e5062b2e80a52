package numbers

import (
	"database/sql"
	"maps"
	"slices"

	"solander/edition"
	"solander/store/table"
	"solander/studio"
)

// remembered is a number as it stands in this transaction.
type remembered struct {
	row     impression
	history []edition.Entry // nil: not read
}

// stand is what a line stands for in the register.
type stand struct {
	edition int64
	holds   bool // it has a number
}

// foreseen is what Foresee read of lines. It holds for as long as nothing but the register was written since.
type foreseen struct {
	lines   map[int64]stand
	changes int // of the transaction, as far as they are in it
}

// Foresee reads at once how numbers stand, with their entries, and what lines hold; see studio.RegisterStore.
func (t *RegisterRows) Foresee(numbers []studio.NumberKey, lines []int64) error {
	known := make(map[studio.NumberKey]*remembered, len(numbers))
	var past []studio.NumberKey
	for part := range table.Portions(numbers) {
		if err := t.foreseeRows(part, known); err != nil {
			return err
		}
	}
	for _, k := range numbers {
		if r := known[k]; r != nil && r.row.Turn > 0 && r.history == nil {
			r.history = []edition.Entry{}
			past = append(past, k)
		}
	}
	for part := range table.Portions(past) {
		entries, err := t.entriesOf(pasts.For(len(part)), keyArgs(part))
		if err != nil {
			return err
		}
		for _, e := range entries {
			r := known[studio.NumberKey{Edition: e.Edition, Number: e.Number}]
			r.history = append(r.history, e)
		}
	}
	t.known = known
	return t.foreseeLines(lines)
}

func (t *RegisterRows) foreseeRows(part []studio.NumberKey, known map[studio.NumberKey]*remembered) error {
	return t.conn.Each(standing.For(len(part)), keyArgs(part), func(rows *sql.Rows) error {
		var k studio.NumberKey
		var p impression
		err := rows.Scan(append([]any{&k.Edition, &k.Number.Kind, &k.Number.N}, p.places()...)...)
		known[k] = &remembered{row: p}
		return err
	})
}

func (t *RegisterRows) foreseeLines(lines []int64) error {
	t.ahead = foreseen{lines: make(map[int64]stand, len(lines))}
	for part := range slices.Chunk(lines, table.Batch) {
		in, args := table.InList(part)
		err := t.conn.Each(standsOf+in, args, func(rows *sql.Rows) error {
			var id int64
			s, err := scanStand(rows, &id)
			t.ahead.lines[id] = s
			return err
		})
		if err != nil {
			return err
		}
	}
	t.ahead.changes = t.conn.Changes()
	return nil
}

// standsOf asks what lines stand for.
const standsOf = `SELECT l.id, l.edition, i.edition FROM lines l LEFT JOIN impressions i ON i.line = l.id WHERE l.id IN `

func scanStand(rows *sql.Rows, id *int64) (s stand, err error) {
	var held int64
	err = rows.Scan(id, &s.edition, table.Ref(&held))
	s.holds = held != 0
	return s, err
}

// standing and pasts ask how so many numbers stand, and for their entries.
var (
	standing = table.BySize(func(n int) string {
		return `SELECT i.edition, i.kind, i.number, ` + impressionColumns + ` FROM ` + keys(n) + ` AS v JOIN impressions i
			ON i.edition = v.column1 AND i.kind = v.column2 AND i.number = v.column3`
	})
	pasts = table.BySize(func(n int) string {
		return `SELECT ` + Entries.Under("r") + ` FROM ` + keys(n) + ` AS v JOIN register r
			ON r.edition = v.column1 AND r.kind = v.column2 AND r.number = v.column3 ORDER BY r.seq`
	})
)

func keys(n int) string { return table.Listed(n, "BIGINT", "TEXT", "BIGINT") }

func keyArgs(part []studio.NumberKey) []any {
	args := make([]any, 0, 3*len(part))
	for _, k := range part {
		args = append(args, k.Edition, k.Number.Kind, k.Number.N)
	}
	return args
}

// stand is what a line stands for, with what was entered since it was read.
func (t *RegisterRows) stand(line int64) (stand, error) {
	if s, ok := t.ahead.lines[line]; ok && t.ahead.changes == t.conn.Changes() {
		return s, nil
	}
	var s stand
	found := false
	err := t.conn.Each(standsOf+`($1)`, []any{line}, func(rows *sql.Rows) (err error) {
		var id int64
		found = true
		s, err = scanStand(rows, &id)
		return err
	})
	return s, table.Must(found, err, "order line %d", line)
}

// after remembers a number with one entry more, and what lines hold then.
func (t *RegisterRows) after(before, row impression, e edition.Entry) {
	r := t.known[studio.NumberKey{Edition: e.Edition, Number: e.Number}]
	if r.row = row; r.history != nil {
		r.history = append(slices.Clip(r.history), e)
	}
	for line, holds := range map[int64]bool{before.Line: false, row.Line: true} {
		if s, ok := t.ahead.lines[line]; ok && before.Line != row.Line {
			s.holds = holds
			t.ahead.lines[line] = s
		}
	}
}

// KeepCounts writes what was counted, before the transaction ends.
func (t *RegisterRows) KeepCounts() error {
	moved := t.moved
	t.moved = nil
	for _, ed := range slices.Sorted(maps.Keys(moved)) {
		args := []any{ed}
		for _, n := range moved[ed] {
			args = append(args, n)
		}
		err := t.conn.Soon(`UPDATE tallies SET free = free + $2, promised = promised + $3, signed = signed + $4, sent = sent + $5,
			consigned = consigned + $6, sold = sold + $7, returned = returned + $8, spoilt = spoilt + $9, kept = kept + $10, withdrawn = withdrawn + $11,
			held = held + $12
			WHERE edition = $1`, args...)
		if err != nil {
			return err
		}
	}
	return nil
}

// tally moves the edition's counts along.
func (t *RegisterRows) tally(before edition.Standing, e edition.Entry) {
	if t.moved == nil {
		t.moved = map[int64]*[11]int64{}
	}
	m := t.moved[e.Edition]
	if m == nil {
		m = new([11]int64)
		t.moved[e.Edition] = m
	}
	for i, s := range edition.States() {
		m[i] += table.Bit(e.After.State == s) - table.Bit(before.State == s)
	}
	if e.Number.Kind == edition.Numbered {
		m[len(m)-1] += table.Bit(e.After.Lot() == edition.Sold) - table.Bit(before.Lot() == edition.Sold)
		if _, asked := t.unsold[e.Edition]; asked {
			t.unsold[e.Edition] += int(table.Bit(available(e.After)) - table.Bit(available(before)))
		}
	}
}
