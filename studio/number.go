package studio

import (
	"context"

	"solander/calendar"
	"solander/edition"
	"solander/fault"
	"solander/order"
	"solander/supply"
)

// Edition reads an edition with all its numbers.
func (s *Studio) Edition(ctx context.Context, ed int64) (EditionView, error) {
	var v EditionView
	err := s.read(ctx, func(t *turn) error {
		e, err := t.edition(ed)
		if err != nil {
			return err
		}
		v, err = t.editionView(e)
		return err
	})
	return v, err
}

func (t *turn) editionView(e edition.Edition) (EditionView, error) {
	v := EditionView{Edition: e}
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
	v.Outstanding = outstanding(runs)[e.ID]
	if !e.Open() {
		v.Numbers, err = t.Numbers(e.ID)
	}
	return v, err
}

// Number reads a number with its whole history. Faults: Missing, Invalid when the edition has no such number.
func (s *Studio) Number(ctx context.Context, ed int64, n edition.Number) (NumberView, error) {
	var v NumberView
	err := s.read(ctx, func(t *turn) error {
		e, err := t.edition(ed)
		if err != nil {
			return err
		}
		v, err = t.numberView(e, n)
		return err
	})
	return v, err
}

func (t *turn) numberView(e edition.Edition, n edition.Number) (NumberView, error) {
	v := NumberView{Edition: e, Label: n.Of(e)}
	if err := n.In(e); err != nil {
		return v, err
	}
	st, err := t.Standing(e.ID, n)
	if err != nil {
		return v, err
	}
	v.Row = NumberRow{Number: n, Standing: st}
	if v.History, err = t.History(e.ID, n); err != nil || len(v.History) == 0 {
		return v, err
	}
	v.Row.Day = v.History[len(v.History)-1].Day
	return v, t.holder(&v)
}

// holder finds the order that holds a number, or with which it was sent last.
func (t *turn) holder(v *NumberView) error {
	line := v.Row.Standing.Line
	if line == 0 {
		return nil
	}
	o, err := t.OrderByLine(line)
	if err != nil {
		return err
	}
	b, err := t.buyer(o.Buyer)
	v.Row.Order, v.Row.OrderMark, v.Row.Buyer = o.ID, o.Mark, b.Name
	return err
}

// stepOf is one step of a number on its way into the register.
type stepOf struct {
	ed     edition.Edition
	number edition.Number
	step   edition.Step
	line   int64  // for Promise
	order  string // mark
	note   string
	day    calendar.Day // on which it happened; zero: today
}

// on is the day of the step.
func (x stepOf) on(today calendar.Day) calendar.Day {
	if x.day.IsZero() {
		return today
	}
	return x.day
}

// take asks the rules and appends the entry. Faults: the rules' own, each saying of which number.
func (t *turn) take(x stepOf) (edition.Entry, error) {
	where := x.number.Of(x.ed) + " of " + x.ed.Title
	if err := x.number.In(x.ed); err != nil {
		return edition.Entry{}, err
	}
	st, err := t.Standing(x.ed.ID, x.number)
	if err != nil {
		return edition.Entry{}, err
	}
	after, err := st.After(x.step, x.line, x.note)
	if err != nil {
		return edition.Entry{}, at(err, where)
	}
	e, err := t.Append(edition.Entry{
		Edition: x.ed.ID, Number: x.number, Turn: after.Turn, Step: x.step, After: after,
		Order: x.order, Day: x.on(t.today), At: t.now, Who: t.who, Note: x.note,
	})
	return e, at(err, where)
}

// correct takes the latest entry in force of a number back by a counter entry, when it is that of turn.
// Faults: Refused when something happened to the number since.
func (t *turn) correct(ed edition.Edition, n edition.Number, turn int, orderMark, note string) error {
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
		return at(err, where)
	}
	_, err = t.Append(edition.Entry{
		Edition: ed.ID, Number: n, Turn: after.Turn, Step: edition.Correct, After: after, Order: orderMark,
		Day: t.today, At: t.now, Who: t.who, Note: note, Undoes: turn,
	})
	return at(err, where)
}

// sheets moves sheets of an edition in or out of the drawer. Faults: Refused when there are not so many.
func (t *turn) sheets(ed edition.Edition, delta int, reason string) error {
	if delta == 0 {
		return nil
	}
	err := t.AddMove(supply.Move{Kind: supply.Sheets, Of: ed.ID, Delta: delta, Reason: reason, Day: t.today, At: t.now, Who: t.who})
	if fault.Is(err, fault.Refused) {
		return fault.New(fault.Refused, "the drawer holds fewer sheets than that").At("%s", ed.Name(t.set.Units)).ToMend("count the drawer").Because(err)
	}
	return err
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
func (s *Studio) Spoil(ctx context.Context, in SpoilIn) error {
	if err := reasonGiven(in.Reason); err != nil {
		return err
	}
	return s.write(ctx, func(t *turn) error {
		e, err := t.edition(in.Edition)
		if err != nil {
			return err
		}
		return t.spoil(e, in)
	})
}

func (t *turn) spoil(e edition.Edition, in SpoilIn) error {
	if err := in.Number.In(e); err != nil {
		return err
	}
	where := in.Number.Of(e) + " of " + e.Title
	st, err := t.Standing(e.ID, in.Number)
	if err != nil {
		return err
	}
	if st.State == edition.Sent {
		return fault.New(fault.Refused, "it is out of the house").At("%s", where).ToMend("take it back from its order, as spoilt")
	}
	held, l, err := t.heldBy(st)
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
	if _, err := t.take(stepOf{ed: e, number: in.Number, step: edition.Spoil, order: held.Mark, note: in.Reason}); err != nil {
		return err
	}
	if st.State != edition.Kept && (st.Signed || in.SheetLost) {
		if err := t.sheets(e, -1, where+" spoilt"); err != nil {
			return err
		}
	}
	return t.note(held.ID, "%s spoilt: %s", where, in.Reason)
}

// unsignedSheet refuses to take an unsigned sheet out of a drawer that holds none: those that lie there are signed, and each
// belongs to its number.
func (t *turn) unsignedSheet(e edition.Edition) error {
	d, err := t.drawer()
	if err != nil {
		return err
	}
	if d.onHand[e.ID] > d.signed(e.ID) {
		return nil
	}
	return fault.New(fault.Refused, "no unsigned sheet of it lies in the drawer").At("%s", e.Name(t.set.Units)).In("sheet_lost").
		ToMend("say so without the sheet, or count the drawer")
}

// heldBy returns the order and line that hold a number; zero ones when none does.
func (t *turn) heldBy(st edition.Standing) (order.Order, order.Line, error) {
	if st.Line == 0 {
		return order.Order{}, order.Line{}, nil
	}
	return t.line(st.Line)
}

// line reads an order by one of its lines.
func (t *turn) line(id int64) (order.Order, order.Line, error) {
	o, err := t.OrderByLine(id)
	if err != nil {
		return o, order.Line{}, err
	}
	for _, l := range o.Lines {
		if l.ID == id {
			return o, l, nil
		}
	}
	return o, order.Line{}, fault.New(fault.Missing, "there is no line %d", id).At("%s", o.Mark)
}
