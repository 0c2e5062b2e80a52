package studio

import (
	"solander/bench"
	"solander/fault"
	"solander/order"
)

// Lacks is everything that an open order lacks before it may go, the sheets of its prints among it. d may be empty, for
// an order that has no claim on a sheet. What only a plan tells is not in it.
func (t *Turn) Lacks(o order.Order, d *Drawer) ([]order.Lack, error) {
	out := o.Lacks()
	if d == nil || d.Sheets.Has == nil {
		return out, nil
	}
	for _, l := range bench.Pending(o) {
		if l.Parcel != 0 || d.Sheets.Has[l.ID] || !l.Signed && !bench.Funded(o) && d.Spare(l.Edition) > 0 {
			continue // in a parcel, or a sheet is there and is given to it once something is paid
		}
		e, err := t.EditionOf(l.Edition)
		if err != nil {
			return nil, err
		}
		out = append(out, order.Lack{Rule: order.LackSheet, What: "there is no sheet of " + Named(l.Number.Of(e), e.Title) + " in the drawer", Mend: "count the drawer, or order a run"})
	}
	return out, nil
}

// NoAddress refuses what needs an address that an order does not have.
func NoAddress(o order.Order, what string) error {
	return fault.New(fault.Refused, "%s", what).At("%s", o.Mark).ToMend("write it on the order, or say that it is handed over in person")
}
