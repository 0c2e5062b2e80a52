package studio

import (
	"strconv"

	"solander/fault"
	"solander/order"
)

// Line reads an order by one of its lines.
func (t *Turn) Line(id int64) (order.Order, order.Line, error) {
	o, err := t.Tx.OrderByLine(id)
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

// Changeable reads a live line of an open order that is neither packed nor sent.
func (t *Turn) Changeable(line int64) (order.Order, order.Line, error) {
	o, l, err := t.Line(line)
	if err != nil {
		return o, l, err
	}
	return o, l, changeable(o, l)
}

// ChangeableIn is Changeable of a line of which the drawer knows the order.
func (t *Turn) ChangeableIn(d *Drawer, line int64) (order.Order, order.Line, error) {
	for _, o := range d.Orders {
		if l, ok := LineOf(o, line); ok {
			return o, l, changeable(o, l)
		}
	}
	return t.Changeable(line)
}

// Note puts a line of an open order into the drawer as it was just saved.
func (d *Drawer) Note(l order.Line) {
	for _, o := range d.Orders {
		for i := range o.Lines {
			if o.Lines[i].ID == l.ID {
				o.Lines[i] = l
				return
			}
		}
	}
}

func changeable(o order.Order, l order.Line) error {
	if err := StillOpen(o); err != nil {
		return err
	}
	var err error
	switch {
	case l.Dropped:
		err = fault.New(fault.Refused, "this print was taken out of the order").At("%s", o.Mark)
	case l.Sent:
		err = fault.New(fault.Refused, "this print was handed over").At("%s", o.Mark).ToMend("take it back first")
	case l.Parcel != 0:
		err = fault.New(fault.Refused, "this print is packed").At("%s", o.Mark).ToMend("undo the packing first")
	}
	return err
}

// StillOpen refuses what only an open order allows.
func StillOpen(o order.Order) error {
	if o.State == order.Open {
		return nil
	}
	return fault.New(fault.Refused, "the order is %s", o.State).At("%s", o.Mark).ToMend("see what was done with it in its journal")
}

// AllIn reports whether every line is in a set.
func AllIn(lines []order.Line, has map[int64]bool) bool {
	for _, l := range lines {
		if !has[l.ID] {
			return false
		}
	}
	return true
}

// SheetID names the print of a line in a problem of the planner.
func SheetID(line int64) string { return strconv.FormatInt(line, 10) }
