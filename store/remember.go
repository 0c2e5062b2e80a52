package store

import (
	"fmt"
	"maps"
	"slices"

	"solander/edition"
)

// memory is what a transaction need not ask twice, since it is the only writer until it ends: what it read, and what it
// counts and keeps at its end. A file of 50 000 rows comes in as one transaction.
type memory struct {
	counters map[string]int64    // the last id given, by table; kept by keepCounts
	moved    map[int64]*[9]int64 // how the tallies of an edition moved, in the order of tallyColumns; kept by keepCounts
	there    map[rowKey]bool     // rows that were found and are never deleted
	prefix   string              // of the marks of orders; "" = not read
	number   rememberedNumber
}

type rowKey struct {
	table string
	id    int64
}

// rememberedNumber is the number that was looked at last, as it stands in this transaction.
type rememberedNumber struct {
	edition int64
	number  edition.Number
	row     impression
	history []edition.Entry // nil: not read
}

// is reports whether it is that of an edition's number.
func (r *rememberedNumber) is(ed int64, n edition.Number) bool {
	return r.edition == ed && r.number == n && ed != 0
}

// after is the number with one entry more.
func (r *rememberedNumber) after(row impression, e edition.Entry) {
	history := []edition.Entry(nil)
	if r.is(e.Edition, e.Number) && r.history != nil {
		history = append(slices.Clip(r.history), e)
	}
	*r = rememberedNumber{e.Edition, e.Number, row, history}
}

// exists is for a row that another points at. Faults: Missing, called by what it is. Only for tables whose rows are
// never deleted.
func (t *tx) exists(table, what string, id int64) error {
	key := rowKey{table, id}
	if t.memory.there[key] {
		return nil
	}
	var n int64
	found, err := t.one(`SELECT id FROM `+table+` WHERE id = $1`, []any{id}, &n)
	if err := must(found, err, what+" %d", id); err != nil {
		return err
	}
	if t.memory.there == nil {
		t.memory.there = map[rowKey]bool{}
	}
	t.memory.there[key] = true
	return nil
}

// next gives the next id of a table. Ids are never given twice, even when a row is dropped.
func (t *tx) next(table string) (int64, error) {
	if t.reading {
		return 0, errReading
	}
	last, ok := t.memory.counters[table]
	if !ok {
		found, err := t.one(`SELECT value FROM counters WHERE name = $1`, []any{table}, &last)
		if err == nil && !found {
			err = fmt.Errorf("the counter of %s is gone", table)
		}
		if err != nil {
			return 0, err
		}
		if t.memory.counters == nil {
			t.memory.counters = map[string]int64{}
		}
	}
	t.memory.counters[table] = last + 1
	return last + 1, nil
}

// keepCounts writes what was counted: before the transaction ends, and before tallies are read in it.
func (t *tx) keepCounts() error {
	counters, moved := t.memory.counters, t.memory.moved
	t.memory.counters, t.memory.moved = nil, nil
	for _, name := range slices.Sorted(maps.Keys(counters)) {
		if _, err := t.exec(`UPDATE counters SET value = $2 WHERE name = $1`, name, counters[name]); err != nil {
			return err
		}
	}
	for _, ed := range slices.Sorted(maps.Keys(moved)) {
		args := []any{ed}
		for _, n := range moved[ed] {
			args = append(args, n)
		}
		_, err := t.exec(`UPDATE tallies SET free = free + $2, promised = promised + $3, signed = signed + $4, sent = sent + $5,
			returned = returned + $6, spoilt = spoilt + $7, kept = kept + $8, withdrawn = withdrawn + $9, held = held + $10
			WHERE edition = $1`, args...)
		if err != nil {
			return err
		}
	}
	return nil
}

// tally moves the edition's counts along.
func (t *tx) tally(before edition.Standing, e edition.Entry) {
	if t.memory.moved == nil {
		t.memory.moved = map[int64]*[9]int64{}
	}
	m := t.memory.moved[e.Edition]
	if m == nil {
		m = new([9]int64)
		t.memory.moved[e.Edition] = m
	}
	for i, s := range edition.States() {
		m[i] += bit(e.After.State == s) - bit(before.State == s)
	}
	if e.Number.Kind == edition.Numbered {
		m[len(m)-1] += bit(e.After.Line != 0) - bit(before.Line != 0)
	}
}
