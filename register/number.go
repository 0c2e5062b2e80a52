package register

import (
	"context"

	"solander/calendar"
	"solander/edition"
	"solander/fault"
	"solander/order"
	"solander/stockroom"
	"solander/studio"
	"solander/supply"
)

// Edition reads an edition with all its numbers.
func Edition(ctx context.Context, s *studio.Studio, ed int64) (studio.EditionView, error) {
	var v studio.EditionView
	err := read(ctx, s, func(t *Register) error {
		e, err := t.EditionOf(ed)
		if err != nil {
			return err
		}
		if v, err = t.standing(e); err == nil && !e.Open() {
			v.Numbers, err = t.Numbers(e.ID)
		}
		return err
	})
	return v, err
}

// standing is an edition as it stands, without its numbers.
func (t *Register) standing(e edition.Edition) (studio.EditionView, error) {
	v := studio.EditionView{Edition: e}
	counts, err := t.Counts()
	if err != nil {
		return v, err
	}
	v.Counts = counts[e.ID]
	if v.Sold, err = t.Sold(e.ID); err != nil {
		return v, err
	}
	v.PriceNow = e.PriceAt(v.Sold)
	onHand, err := t.OnHand()
	if err != nil {
		return v, err
	}
	v.OnHand = onHand[e.ID]
	runs, err := t.Runs(true)
	if err != nil {
		return v, err
	}
	v.Outstanding = stockroom.Outstanding(runs)[e.ID]
	return v, nil
}

// Number reads a number with its whole history. Faults: Missing, Invalid when the edition has no such number.
func Number(ctx context.Context, s *studio.Studio, ed int64, n edition.Number) (studio.NumberView, error) {
	var v studio.NumberView
	err := read(ctx, s, func(t *Register) error {
		e, err := t.EditionOf(ed)
		if err != nil {
			return err
		}
		v, err = t.NumberView(e, n)
		return err
	})
	return v, err
}

// NumberView is one number with where it is and what happened to it.
func (t *Register) NumberView(e edition.Edition, n edition.Number) (studio.NumberView, error) {
	v := studio.NumberView{Edition: e, Label: n.Of(e)}
	if err := n.In(e); err != nil {
		return v, err
	}
	st, err := t.Standing(e.ID, n)
	if err != nil {
		return v, err
	}
	v.Row = studio.NumberRow{Number: n, Standing: st}
	if v.History, err = t.History(e.ID, n); err != nil || len(v.History) == 0 {
		return v, err
	}
	v.Row.Day = v.History[len(v.History)-1].Day
	return v, t.holder(&v)
}

// holder finds the order that holds a number, or with which it was sent last.
func (t *Register) holder(v *studio.NumberView) error {
	line := v.Row.Standing.Line
	if line == 0 {
		return nil
	}
	o, err := t.OrderByLine(line)
	if err != nil {
		return err
	}
	b, err := t.BuyerOf(o.Buyer)
	v.Row.Order, v.Row.OrderMark, v.Row.Buyer = o.ID, o.Mark, b.Name
	return err
}

// StepOf is one step of a number on its way into the register.
type StepOf struct {
	Ed     edition.Edition
	Number edition.Number
	Step   edition.Step
	Line   int64  // for Promise
	Order  string // mark
	Note   string
	Day    calendar.Day // on which it happened; zero: today
}

// on is the day of the step.
func (x StepOf) on(today calendar.Day) calendar.Day {
	if x.Day.IsZero() {
		return today
	}
	return x.Day
}

// Take asks the rules and appends the entry. Faults: the rules' own, each saying of which number.
func (t *Register) Take(x StepOf) (edition.Entry, error) {
	where := x.Number.Of(x.Ed) + " of " + x.Ed.Title
	if err := x.Number.In(x.Ed); err != nil {
		return edition.Entry{}, err
	}
	st, err := t.Standing(x.Ed.ID, x.Number)
	if err != nil {
		return edition.Entry{}, err
	}
	after, err := st.After(x.Step, x.Line, x.Note)
	if err != nil {
		return edition.Entry{}, fault.Placed(err, where)
	}
	e, err := t.Append(edition.Entry{
		Edition: x.Ed.ID, Number: x.Number, Turn: after.Turn, Step: x.Step, After: after,
		Order: x.Order, Day: x.on(t.Today), At: t.Now, Who: t.Who, Note: x.Note,
	})
	return e, fault.Placed(err, where)
}

// Correct takes the latest entry in force of a number back by a counter entry, when it is that of turn.
// Faults: Refused when something happened to the number since.
func (t *Register) Correct(ed edition.Edition, n edition.Number, turn int, orderMark, note string) error {
	where := n.Of(ed) + " of " + ed.Title
	history, err := t.History(ed.ID, n)
	if err != nil {
		return err
	}
	if valid := edition.InForce(history); len(valid) == 0 || valid[len(valid)-1].Turn != turn {
		return fault.New(fault.Refused, "something happened to this number since").At("%s", where).ToMend("take the later step back first")
	}
	after, err := edition.Corrected(history)
	if err != nil {
		return fault.Placed(err, where)
	}
	_, err = t.Append(edition.Entry{
		Edition: ed.ID, Number: n, Turn: after.Turn, Step: edition.Correct, After: after, Order: orderMark,
		Day: t.Today, At: t.Now, Who: t.Who, Note: note, Undoes: turn,
	})
	return fault.Placed(err, where)
}

// SpoilIn says that a sheet was destroyed.
type SpoilIn struct {
	Edition   int64
	Number    edition.Number
	Reason    string
	SheetLost bool // an unsigned sheet was in the drawer and leaves it; a signed one always does
}

// Spoil records that the sheet of a number was destroyed. The order that holds the number keeps it: it
// is struck again, or the order takes another. Faults: Invalid, Refused when the print is packed or out
// of the house.
func Spoil(ctx context.Context, s *studio.Studio, in SpoilIn) error {
	if err := studio.ReasonGiven(in.Reason); err != nil {
		return err
	}
	return write(ctx, s, func(t *Register) error {
		e, err := t.EditionOf(in.Edition)
		if err != nil {
			return err
		}
		return t.spoil(e, in)
	})
}

func (t *Register) spoil(e edition.Edition, in SpoilIn) error {
	if err := in.Number.In(e); err != nil {
		return err
	}
	where := in.Number.Of(e) + " of " + e.Title
	st, err := t.Standing(e.ID, in.Number)
	if err != nil {
		return err
	}
	if st.State == edition.Consigned || st.State == edition.SoldThere {
		return fault.New(fault.Refused, "it is at a gallery").At("%s", where).ToMend("say on the gallery's page that it is lost, or that it came back")
	}
	if st.State == edition.Sent {
		return fault.New(fault.Refused, "it is out of the house").At("%s", where).ToMend("take it back from its order, as spoilt")
	}
	held, l, err := t.HeldBy(st)
	if err != nil {
		return err
	}
	if l.Parcel != 0 {
		return fault.New(fault.Refused, "it is packed for %s", held.Mark).At("%s", where).ToMend("undo the packing first")
	}
	if in.SheetLost && !st.Signed && st.State != edition.Kept {
		if err := t.unsignedSheet(e); err != nil {
			return err
		}
	}
	if _, err := t.Take(StepOf{Ed: e, Number: in.Number, Step: edition.Spoil, Order: held.Mark, Note: in.Reason}); err != nil {
		return err
	}
	if st.State != edition.Kept && (st.Signed || in.SheetLost) {
		if err := stockroom.In(t.Turn).Sheets(e, -1, supply.Why{Cause: supply.Spoiled, Line: l.ID}, where+" spoilt"); err != nil {
			return err
		}
	}
	return t.Note(held.ID, "%s spoilt: %s", where, in.Reason)
}

// unsignedSheet refuses to take an unsigned sheet out of a drawer that holds none: those that lie there are signed, and each
// belongs to its number.
func (t *Register) unsignedSheet(e edition.Edition) error {
	d, err := t.Drawer()
	if err != nil {
		return err
	}
	if d.OnHand[e.ID] > d.Signed(e.ID) {
		return nil
	}
	return fault.New(fault.Refused, "no unsigned sheet of it lies in the drawer").At("%s", e.Name(t.Set.Units)).In("sheet_lost").
		ToMend("say so without the sheet, or count the drawer")
}

// HeldBy returns the order and line that hold a number; zero ones when none does.
func (t *Register) HeldBy(st edition.Standing) (order.Order, order.Line, error) {
	if st.Line == 0 {
		return order.Order{}, order.Line{}, nil
	}
	return t.Line(st.Line)
}
