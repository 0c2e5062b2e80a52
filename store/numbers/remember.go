package numbers

import (
	"maps"
	"slices"

	"solander/edition"
	"solander/store/table"
)

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

// KeepCounts writes what was counted, before the transaction ends.
func (t *RegisterRows) KeepCounts() error {
	moved := t.moved
	t.moved = nil
	for _, ed := range slices.Sorted(maps.Keys(moved)) {
		args := []any{ed}
		for _, n := range moved[ed] {
			args = append(args, n)
		}
		_, err := t.conn.Exec(`UPDATE tallies SET free = free + $2, promised = promised + $3, signed = signed + $4, sent = sent + $5,
			returned = returned + $6, spoilt = spoilt + $7, kept = kept + $8, withdrawn = withdrawn + $9, held = held + $10
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
		t.moved = map[int64]*[9]int64{}
	}
	m := t.moved[e.Edition]
	if m == nil {
		m = new([9]int64)
		t.moved[e.Edition] = m
	}
	for i, s := range edition.States() {
		m[i] += table.Bit(e.After.State == s) - table.Bit(before.State == s)
	}
	if e.Number.Kind == edition.Numbered {
		m[len(m)-1] += table.Bit(e.After.Line != 0) - table.Bit(before.Line != 0)
	}
}
