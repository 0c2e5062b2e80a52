package register

import (
	"context"

	"solander/edition"
	"solander/fault"
	"solander/studio"
)

// DeclaredEdition reads an edition as it was declared, without its numbers. Faults: Missing.
func DeclaredEdition(ctx context.Context, s *studio.Studio, ed int64) (e edition.Edition, err error) {
	err = read(ctx, s, func(t *Register) error {
		e, err = t.EditionOf(ed)
		return err
	})
	return e, err
}

// Asked is what of an edition shall be drawn; its zero value is everything from the first number on.
type Asked struct {
	Kind     edition.Kind // "" = all of them
	State    edition.State
	Lot      edition.Lot
	Loose    bool // signed, of numbers nobody has
	From, To int  // a range, both of them too; 0 = from the first, to the last
	At       int  // the number with which a part begins; 0 = the first part
}

// MostDrawn is how many numbers that are not free, or that were asked for, are in one part.
const MostDrawn = 500

// Sheet is an edition with those of its numbers that are drawn.
type Sheet struct {
	studio.EditionView                                      // without its numbers
	Lots               map[edition.Kind]map[edition.Lot]int // of all of them
	Kinds              []SheetKind
	Sales              []studio.SoldDay
	Ends               Ends
	Remaining          int // numbers that would be withdrawn if it was closed
}

// SheetKind is what is drawn of one kind: the rows are those asked for, and of free numbers none, from First to Last.
type SheetKind struct {
	Kind        edition.Kind
	First, Last int
	Rows        []studio.NumberRow
	Gaps        bool  // every number from First to Last that is in no row is free, and drawn too
	Starts      []int // the parts, when there are several; the first is that of First
}

// ReadSheet reads an edition and those of its numbers that are drawn.
// Faults: Missing; Invalid in "from", "to" or "at" when the edition has no such numbers.
func ReadSheet(ctx context.Context, s *studio.Studio, ed int64, asked Asked) (Sheet, error) {
	var v Sheet
	err := read(ctx, s, func(t *Register) error {
		e, err := t.EditionOf(ed)
		if err != nil {
			return err
		}
		if err := asked.of(e); err != nil {
			return err
		}
		if v.EditionView, err = t.standing(e); err != nil {
			return err
		}
		if v.Ends, err = t.ends(e); err != nil {
			return err
		}
		if v.Sales, err = t.SoldDays(ed); err != nil || e.Open() {
			return err
		}
		if v.Lots, err = t.NumberLots(ed); err != nil {
			return err
		}
		if v.Remaining, err = t.remaining(e, v.Lots[edition.Numbered][edition.Unsold]); err != nil {
			return err
		}
		for _, k := range edition.Kinds() {
			if err := t.draw(&v, asked, k); err != nil {
				return err
			}
		}
		return nil
	})
	return v, err
}

// of checks that an edition has what is asked for.
func (a Asked) of(e edition.Edition) error {
	last := e.Count(a.leads())
	var l fault.List
	for _, n := range []struct {
		field string
		n     int
	}{{"from", a.From}, {"to", a.To}, {"at", a.At}} {
		if n.n < 0 || n.n > last {
			l.Add(fault.Invalidf(n.field, "%d is no number of this edition", n.n).ToMend("use 1 to %d", last))
		}
	}
	if a.To > 0 && a.From > a.To {
		l.Add(fault.Invalidf("to", "the range ends at %d before it begins at %d", a.To, a.From).ToMend("exchange the two"))
	}
	return l.Err()
}

// leads is the kind that a range and the parts are of.
func (a Asked) leads() edition.Kind {
	if a.Kind == "" {
		return edition.Numbered
	}
	return a.Kind
}

// ranged reports that a part of the numbers was asked for by range.
func (a Asked) ranged() bool { return a.From > 0 || a.To > 0 }

// draw adds what is drawn of one kind.
func (t *Register) draw(v *Sheet, a Asked, k edition.Kind) error {
	leads := k == a.leads()
	if v.Count(k) == 0 || a.Kind != "" && k != a.Kind || a.ranged() && !leads {
		return nil
	}
	q := studio.NumberQuery{Edition: v.ID, Kind: k, State: a.State, Lot: a.Lot, Loose: a.Loose}
	d := SheetKind{Kind: k, First: 1, Last: v.Count(k), Gaps: a.State == "" && a.Lot == "" && !a.Loose}
	if a.State == edition.Free || a.Lot == edition.Unsold {
		q.State, q.Lot, d.Gaps = "", "", true
	}
	if leads {
		d.First = max(1, a.From)
		if a.To > 0 {
			d.Last = a.To
		}
		q.From, q.To = d.First, d.Last
		if err := t.divide(&d, q, a.At); err != nil {
			return err
		}
		q.From, q.To = d.First, d.Last
	}
	var err error
	if d.Rows, err = t.NumbersIn(q); err == nil && (d.Gaps || len(d.Rows) > 0) {
		v.Kinds = append(v.Kinds, d)
	}
	return err
}

// divide narrows what is drawn to the part that holds the number at, when there are too many for one.
func (t *Register) divide(d *SheetKind, q studio.NumberQuery, at int) error {
	starts, err := t.NumberStarts(q, MostDrawn)
	if err != nil || len(starts) < 2 {
		return err
	}
	starts[0] = d.First
	d.Starts = starts
	for i, from := range starts {
		if i == 0 || from <= at {
			d.First = from
			if i+1 < len(starts) {
				q.To = starts[i+1] - 1
			} else {
				q.To = d.Last
			}
		}
	}
	d.Last = q.To
	return nil
}
