package studio

import (
	"context"
	"fmt"
	"slices"

	"solander/bench"
	"solander/calendar"
	"solander/edition"
	"solander/fault"
	"solander/order"
)

// signedPrint is one print signed by a mark. Line is 0 when it was signed ahead; Turn is that of its
// register entry, 0 for an open edition.
type signedPrint struct {
	Line    int64          `json:"line"`
	Edition int64          `json:"edition"`
	Number  edition.Number `json:"number"`
	Turn    int            `json:"turn"`
}

// Sign marks the prints of lines as signed and numbered. Each needs a sheet in the drawer that is for
// it. Every order gets one mark, which Undo takes back.
// Faults: Invalid, Missing, Refused without a sheet, or when a print is signed, packed or spoilt.
func (s *Studio) Sign(ctx context.Context, lines []int64) error {
	if err := someOnce("lines", len(lines), lines); err != nil {
		return err
	}
	return s.write(ctx, func(t *turn) error {
		d, err := t.drawer()
		if err != nil {
			return err
		}
		byOrder := map[int64][]signedPrint{}
		for _, id := range lines {
			o, p, err := t.signLine(id, d)
			if err != nil {
				return err
			}
			byOrder[o.ID] = append(byOrder[o.ID], p)
		}
		return t.signMarks(byOrder)
	})
}

// someOnce checks a list of chosen things: some, not absurdly many, none twice. Faults: Invalid.
func someOnce[T comparable](field string, n int, chosen []T) error {
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

func (t *turn) signLine(id int64, d *drawer) (order.Order, signedPrint, error) {
	o, l, err := t.changeable(id)
	if err != nil {
		return o, signedPrint{}, err
	}
	e, err := t.edition(l.Edition)
	if err != nil {
		return o, signedPrint{}, err
	}
	where := named(l.Number.Of(e), e.Title)
	switch {
	case l.Signed:
		return o, signedPrint{}, fault.New(fault.Refused, "it is signed already").At("%s", where).In("lines")
	case !d.sheets.Has[id]:
		return o, signedPrint{}, noSheet(o, where)
	}
	p := signedPrint{Line: id, Edition: e.ID, Number: l.Number}
	if !l.Number.IsZero() {
		entry, err := t.take(stepOf{ed: e, number: l.Number, step: edition.Sign, order: o.Mark})
		if err != nil {
			return o, p, spoiltFirst(err)
		}
		p.Turn = entry.Turn
	}
	l.Signed, l.SignedDay = true, t.today
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

func (t *turn) signMarks(byOrder map[int64][]signedPrint) error {
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
		if _, err := t.mark(MarkSigned, id, byOrder[id], "%s", text); err != nil {
			return err
		}
	}
	return nil
}

func (t *turn) signedText(prints []signedPrint) (string, error) {
	e, err := t.edition(prints[0].Edition)
	if err != nil {
		return "", err
	}
	text := named(prints[0].Number.Of(e), e.Title)
	if n := len(prints) - 1; n > 0 {
		text += fmt.Sprintf(" and %d more", n)
	}
	return text + " signed", nil
}

// SignAhead signs numbers that no order holds: they lie in the drawer, signed. Each needs a sheet that
// no open order has. Faults: Invalid, Missing, Refused.
func (s *Studio) SignAhead(ctx context.Context, ed int64, ns []edition.Number) error {
	if err := someOnce("numbers", len(ns), ns); err != nil {
		return err
	}
	return s.write(ctx, func(t *turn) error {
		e, err := t.edition(ed)
		if err != nil {
			return err
		}
		d, err := t.drawer()
		if err != nil {
			return err
		}
		var prints []signedPrint
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
		if spare := d.spare(ed); len(ns) > spare {
			return fault.New(fault.Refused, "%d sheets are wanted, %d unsigned ones are not for an order", len(ns), max(0, spare)).At("%s", e.Name(t.set.Units)).
				In("numbers").ToMend("count the drawer, or order a run")
		}
		if err := t.sheets(e, loose-len(ns), "signed for the archive"); err != nil {
			return err
		}
		return t.signMarks(map[int64][]signedPrint{0: prints})
	})
}

// signAhead signs one number; kept says that it lies in the archive, where its sheet goes.
func (t *turn) signAhead(e edition.Edition, n edition.Number) (p signedPrint, kept bool, err error) {
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
	entry, err := t.take(stepOf{ed: e, number: n, step: edition.Sign})
	return signedPrint{Edition: e.ID, Number: n, Turn: entry.Turn}, st.State == edition.Kept, err
}

// undoSign takes signatures back while the prints lie where they lay.
func (t *turn) undoSign(prints []signedPrint) error {
	for _, p := range prints {
		e, err := t.edition(p.Edition)
		if err != nil {
			return err
		}
		var mark string
		if p.Line != 0 {
			o, l, err := t.changeable(p.Line)
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

func (t *turn) unsign(e edition.Edition, p signedPrint, mark string) error {
	if err := t.correct(e, p.Number, p.Turn, mark, "not signed"); err != nil {
		return err
	}
	st, err := t.Standing(e.ID, p.Number)
	if err != nil || st.State != edition.Kept {
		return err
	}
	return t.sheets(e, 1, p.Number.Of(e)+" not signed for the archive")
}
