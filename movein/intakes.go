package movein

import (
	"context"
	"slices"

	"solander/edition"
	"solander/fault"
	"solander/intake/kept"
	"solander/order"
	"solander/register"
	"solander/stockroom"
	"solander/studio"
	"solander/supply"
)

// mostIntakes bounds a list of files that were brought in.
const mostIntakes = 200

// Intakes lists the files that were brought in, newest first.
func Intakes(ctx context.Context, s *studio.Studio) ([]kept.Intake, error) {
	out := []kept.Intake{}
	err := read(ctx, s, func(t *MoveIn) error {
		all, err := t.Intakes(mostIntakes)
		out = append(out, all...)
		return err
	})
	return out, err
}

// IntakeView is a file that was brought in, with its orders.
type IntakeView struct {
	kept.Intake
	Orders []studio.OrderRow `json:"orders"` // up to 500
	// InTheWay says what was built on it since, so that it cannot be taken back; empty: it can.
	InTheWay []string `json:"in_the_way"`
}

// Intake reads a file that was brought in. Faults: Missing.
func Intake(ctx context.Context, s *studio.Studio, id int64) (IntakeView, error) {
	v := IntakeView{Orders: []studio.OrderRow{}}
	err := read(ctx, s, func(t *MoveIn) (err error) {
		if v.Intake, err = t.Intake(id); err != nil {
			return err
		}
		ids, err := t.IntakeOrders(id)
		if err != nil {
			return err
		}
		d, err := t.Drawer()
		if err != nil {
			return err
		}
		for _, o := range ids[:min(len(ids), studio.MostPage)] {
			whole, err := t.Order(o)
			if err != nil {
				return err
			}
			row, err := t.OrderRow(whole, d)
			if err != nil {
				return err
			}
			v.Orders = append(v.Orders, row)
		}
		if v.Back == nil {
			v.InTheWay, err = t.inTheWay(v.Intake)
		}
		return err
	})
	return v, err
}

// Origins reads the rows that an order was made of, word for word; none when it was not brought in.
func Origins(ctx context.Context, s *studio.Studio, orderID int64) ([]kept.Brought, error) {
	var out []kept.Brought
	err := read(ctx, s, func(t *MoveIn) (err error) {
		out, err = t.Origins(orderID)
		return err
	})
	return out, err
}

// UndoIntake takes a file back whole, while nothing else was built on it: on none of its orders was anything done since,
// no other order is of an edition that it declared, and no run was ordered for one.
//
// The register only grows, so each entry that the file made is taken back by a counter entry that says so; the numbers are
// then as they were before. Its payments are reversed, its orders cancelled and in no list any more; found by its mark such an
// order still says where it came from. Buyers who have no other order are in no list either. Editions stay declared, with all
// numbers as before the file: a limit once declared is never changed. Works and outlets stay. The same file may be
// brought in again.
// Faults: Invalid without a reason; Missing; Refused, naming what stands in the way.
func UndoIntake(ctx context.Context, s *studio.Studio, id int64, reason string) error {
	if err := studio.ReasonGiven(reason); err != nil {
		return err
	}
	return write(ctx, s, func(t *MoveIn) error {
		in, err := t.Intake(id)
		if err != nil {
			return err
		}
		if in.Back != nil {
			return fault.New(fault.Refused, "it was taken back already").At("%s", in.Name)
		}
		ids, err := t.IntakeOrders(id)
		if err != nil {
			return err
		}
		why, err := t.inTheWay(in)
		if err != nil {
			return err
		}
		var l fault.List
		for _, w := range why {
			l.Add(fault.New(fault.Refused, "%s", w).At("%s", in.Name).ToMend("take that back first, or leave the file as it is"))
		}
		if err := l.Err(); err != nil {
			return err
		}
		return t.undoIntake(in, ids, reason)
	})
}

// mostReasons bounds how much of what stands in the way is told.
const mostReasons = 12

// inTheWay lists what was built on a file since it was brought in.
func (t *MoveIn) inTheWay(in kept.Intake) ([]string, error) {
	built, err := t.BuiltOn(in.ID, mostReasons)
	if err != nil {
		return nil, err
	}
	var why []string
	for _, o := range built {
		if o.Text == "" {
			why = append(why, o.Mark+" has a parcel")
		} else {
			why = append(why, o.Mark+": "+o.Text)
		}
	}
	for _, id := range in.Made.Editions {
		w, err := t.builtOnEdition(id, in.ID)
		if err != nil {
			return why, err
		}
		if w != "" {
			why = append(why, w)
		}
	}
	return why, nil
}

func (t *MoveIn) builtOnEdition(id, in int64) (string, error) {
	e, err := t.EditionOf(id)
	if err != nil {
		return "", err
	}
	marks, err := t.OrdersOn(id, in, 1)
	if err != nil || len(marks) > 0 {
		if err == nil {
			return marks[0] + " is of " + e.Title + ", which the file declared", nil
		}
		return "", err
	}
	runs, err := t.Runs(false)
	if err != nil {
		return "", err
	}
	for _, r := range runs {
		if r.Edition == id {
			return "a run was ordered of " + e.Title + ", which the file declared", nil
		}
	}
	return "", nil
}

// readAtOnce is how many orders of a file are in memory at once.
const readAtOnce = 500

func (t *MoveIn) undoIntake(in kept.Intake, orders []int64, reason string) error {
	slices.Reverse(orders) // the latest first: a number that came back may have been sold again
	for part := range slices.Chunk(orders, readAtOnce) {
		if err := t.undoOrders(part, "intake taken back: "+reason); err != nil {
			return err
		}
	}
	for _, m := range in.Made.Sheets {
		e, err := t.EditionOf(m.Edition)
		if err != nil {
			return err
		}
		if err := stockroom.In(t.Turn).Sheets(e, -m.Count, supply.Why{Cause: supply.BroughtOut}, "intake taken back: "+in.Name); err != nil {
			return err
		}
	}
	if err := t.IntakeBack(in.ID, kept.TakenBack{Day: t.Today, At: t.Now, Who: t.Who, Reason: reason}); err != nil {
		return err
	}
	return t.Note(0, "%s of %s taken back: %s", fault.Count(in.Made.Orders, "order"), in.Name, reason)
}

// undoOrders takes back all that was entered for orders, and ends them. Their references are free again.
func (t *MoveIn) undoOrders(ids []int64, note string) error {
	whole, err := t.OrdersByID(ids)
	if err != nil {
		return err
	}
	var numbers []studio.NumberKey
	for _, o := range whole {
		for _, l := range o.Lines {
			numbers = append(numbers, studio.NumberKey{Edition: l.Edition, Number: l.Number})
		}
	}
	if err := t.Foresee(numbers, nil); err != nil {
		return err
	}
	for _, o := range whole {
		for _, l := range o.Lines {
			if err := t.undoNumber(o, l, note); err != nil {
				return fault.Placed(err, o.Mark)
			}
		}
	}
	return t.CallOff(ids, t.Today)
}

// undoNumber takes back the entries of a number that an order made, the latest first.
func (t *MoveIn) undoNumber(o order.Order, l order.Line, note string) error {
	if l.Number.IsZero() {
		return nil
	}
	e, err := t.EditionOf(l.Edition)
	if err != nil {
		return err
	}
	history, err := t.History(e.ID, l.Number)
	if err != nil {
		return err
	}
	valid := edition.InForce(history)
	if n := len(valid); n > 0 && valid[n-1].Order != o.Mark && slices.ContainsFunc(valid, func(x edition.Entry) bool { return x.Order == o.Mark }) {
		return fault.New(fault.Refused, "something happened to it since: %s", valid[n-1].Step).At("%s", l.Number.Of(e)+" of "+e.Title).ToMend("take that back first")
	}
	for i := len(valid) - 1; i >= 0 && valid[i].Order == o.Mark; i-- {
		if err := register.In(t.Turn).Correct(e, l.Number, valid[i].Turn, o.Mark, note); err != nil {
			return err
		}
	}
	return nil
}
