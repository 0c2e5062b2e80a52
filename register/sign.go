package register

import (
	"context"
	"fmt"
	"slices"

	"solander/bench"
	"solander/calendar"
	"solander/edition"
	"solander/fault"
	"solander/order"
	"solander/stockroom"
	"solander/studio"
	"solander/supply"
)

// SignedPrint is one print signed by a mark. Line is 0 when it was signed ahead; Turn is that of its
// register entry, 0 for an open edition.
type SignedPrint struct {
	Line    int64          `json:"line"`
	Edition int64          `json:"edition"`
	Number  edition.Number `json:"number"`
	Turn    int            `json:"turn"`
}

// Sign marks the prints of lines as signed and numbered. Each needs a sheet in the drawer that is for
// it. Every order gets one mark, which Undo takes back.
// Faults: Invalid, Missing, Refused without a sheet, or when a print is signed, packed or spoilt.
func Sign(ctx context.Context, s *studio.Studio, lines []int64) error {
	if err := SomeOnce("lines", len(lines), lines); err != nil {
		return err
	}
	return write(ctx, s, func(t *Register) error {
		d, err := t.Drawer()
		if err != nil {
			return err
		}
		return t.Sign(lines, d)
	})
}

// Sign is the use case Sign within a transaction that has looked into the drawer, which then knows them as signed.
func (t *Register) Sign(lines []int64, d *studio.Drawer) error {
	byOrder := map[int64][]SignedPrint{}
	for _, id := range lines {
		o, p, err := t.signLine(id, d)
		if err != nil {
			return err
		}
		byOrder[o.ID] = append(byOrder[o.ID], p)
	}
	return t.signMarks(byOrder)
}

// SomeOnce checks a list of chosen things: some, not absurdly many, none twice. Faults: Invalid.
func SomeOnce[T comparable](field string, n int, chosen []T) error {
	if n == 0 {
		return fault.Invalidf(field, "nothing was chosen").ToMend("choose at least one")
	}
	if n > 1000 {
		return fault.Invalidf(field, "%d at once are too many", n).ToMend("choose up to 1000")
	}
	seen := map[T]bool{}
	for _, c := range chosen {
		if seen[c] {
			return fault.Invalidf(field, "%v is named twice", c).ToMend("name each once")
		}
		seen[c] = true
	}
	return nil
}

func (t *Register) signLine(id int64, d *studio.Drawer) (order.Order, SignedPrint, error) {
	o, l, err := t.ChangeableIn(d, id)
	if err != nil {
		return o, SignedPrint{}, err
	}
	e, err := t.EditionOf(l.Edition)
	if err != nil {
		return o, SignedPrint{}, err
	}
	where := studio.Named(l.Number.Of(e), e.Title)
	switch {
	case l.Signed:
		return o, SignedPrint{}, fault.New(fault.Refused, "it is signed already").At("%s", where).In("lines")
	case !d.Sheets.Has[id]:
		return o, SignedPrint{}, noSheet(o, where)
	}
	p := SignedPrint{Line: id, Edition: e.ID, Number: l.Number}
	if !l.Number.IsZero() {
		entry, err := t.Take(StepOf{Ed: e, Number: l.Number, Step: edition.Sign, Order: o.Mark})
		if err != nil {
			return o, p, spoiltFirst(err)
		}
		p.Turn = entry.Turn
	}
	l.Signed, l.SignedDay = true, t.Today
	d.Note(l)
	return o, p, t.SaveLine(l)
}

func noSheet(o order.Order, where string) error {
	if !bench.Funded(o) {
		return fault.New(fault.Refused, "nothing was paid for %s, so it has no sheet", o.Mark).At("%s", where).In("lines").ToMend("collect a deposit first")
	}
	return fault.New(fault.Refused, "there is no sheet in the drawer for it").At("%s", where).In("lines").ToMend("count the drawer, or order a run")
}

// spoiltFirst tells how to go on with a number whose sheet was spoilt.
func spoiltFirst(err error) error {
	if fault.Is(err, fault.Refused) {
		return fault.All(err)[0].ToMend("strike a spoilt number again, or give the order another one")
	}
	return err
}

func (t *Register) signMarks(byOrder map[int64][]SignedPrint) error {
	ids := make([]int64, 0, len(byOrder))
	for id := range byOrder {
		ids = append(ids, id)
	}
	slices.Sort(ids)
	for _, id := range ids {
		text, err := t.signedText(byOrder[id])
		if err != nil {
			return err
		}
		if _, err := t.Journal(studio.MarkSigned, id, byOrder[id], "%s", text); err != nil {
			return err
		}
	}
	return nil
}

func (t *Register) signedText(prints []SignedPrint) (string, error) {
	e, err := t.EditionOf(prints[0].Edition)
	if err != nil {
		return "", err
	}
	text := studio.Named(prints[0].Number.Of(e), e.Title)
	if n := len(prints) - 1; n > 0 {
		text += fmt.Sprintf(" and %d more", n)
	}
	return text + " signed", nil
}

// SignAhead signs numbers that no order holds: they lie in the drawer, signed. Each needs a sheet that
// no open order has. Faults: Invalid, Missing, Refused.
func SignAhead(ctx context.Context, s *studio.Studio, ed int64, ns []edition.Number) error {
	if err := SomeOnce("numbers", len(ns), ns); err != nil {
		return err
	}
	return write(ctx, s, func(t *Register) error {
		e, err := t.EditionOf(ed)
		if err != nil {
			return err
		}
		d, err := t.Drawer()
		if err != nil {
			return err
		}
		var prints []SignedPrint
		loose := 0
		for _, n := range ns {
			p, kept, err := t.signAhead(e, n)
			if err != nil {
				return err
			}
			if prints = append(prints, p); !kept {
				loose++
			}
		}
		if spare := d.Spare(ed); len(ns) > spare {
			return fault.New(fault.Refused, "%d sheets are wanted, %d unsigned ones are not for an order", len(ns), max(0, spare)).At("%s", e.Name(t.Set.Units)).
				In("numbers").ToMend("count the drawer, or order a run")
		}
		if err := stockroom.In(t.Turn).Sheets(e, loose-len(ns), supply.Why{Cause: supply.Kept}, "signed for the archive"); err != nil {
			return err
		}
		return t.signMarks(map[int64][]SignedPrint{0: prints})
	})
}

// signAhead signs one number; kept says that it lies in the archive, where its sheet goes.
func (t *Register) signAhead(e edition.Edition, n edition.Number) (p SignedPrint, kept bool, err error) {
	if err := n.In(e); err != nil {
		return p, false, err
	}
	st, err := t.Standing(e.ID, n)
	if err != nil {
		return p, false, err
	}
	if st.Line != 0 {
		return p, false, fault.New(fault.Refused, "an order holds it").At("%s", n.Of(e)+" of "+e.Title).ToMend("sign it with its order")
	}
	if st.Signed {
		return p, false, fault.New(fault.Refused, "it is signed already").At("%s", n.Of(e)+" of "+e.Title).In("numbers")
	}
	entry, err := t.Take(StepOf{Ed: e, Number: n, Step: edition.Sign})
	return SignedPrint{Edition: e.ID, Number: n, Turn: entry.Turn}, st.State == edition.Kept, err
}

// UndoSign takes signatures back while the prints lie where they lay.
func (t *Register) UndoSign(prints []SignedPrint) error {
	for _, p := range prints {
		e, err := t.EditionOf(p.Edition)
		if err != nil {
			return err
		}
		var mark string
		if p.Line != 0 {
			o, l, err := t.Changeable(p.Line)
			if err != nil {
				return err
			}
			if l.Number != p.Number || !l.Signed {
				return fault.New(fault.Refused, "the print has another number by now").At("%s", o.Mark)
			}
			l.Signed, l.SignedDay, mark = false, calendar.Day{}, o.Mark
			if err := t.SaveLine(l); err != nil {
				return err
			}
		}
		if p.Number.IsZero() {
			continue
		}
		if err := t.unsign(e, p, mark); err != nil {
			return err
		}
	}
	return nil
}

func (t *Register) unsign(e edition.Edition, p SignedPrint, mark string) error {
	if err := t.Correct(e, p.Number, p.Turn, mark, "not signed"); err != nil {
		return err
	}
	st, err := t.Standing(e.ID, p.Number)
	if err != nil || st.State != edition.Kept {
		return err
	}
	return stockroom.In(t.Turn).Sheets(e, 1, supply.Why{Cause: supply.Unkept}, p.Number.Of(e)+" not signed for the archive")
}
