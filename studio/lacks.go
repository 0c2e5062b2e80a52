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

// LacksToGo is everything that an open order lacks before it is handed over: what it lacks before it may be packed, and what its buyer is still to be
// told, unless that was overridden.
func (t *Turn) LacksToGo(o order.Order, d *Drawer) (lacks []order.Lack, tell []bench.Tell, err error) {
	if lacks, err = t.Lacks(o, d); err != nil {
		return nil, nil, err
	}
	told, err := t.Untold(o)
	if err != nil {
		return nil, nil, err
	}
	return append(lacks, bench.Untold(o, told[0])...), told[0], nil
}

// HeldBack is what an override of an order lets pass, in words, without regard to one that it has.
func HeldBack(o order.Order, tell []bench.Tell) []string {
	out := o.HeldBack()
	for _, x := range tell {
		out = append(out, x.Text)
	}
	return out
}

// LeftToTell is what the buyer is still to be told, where it is none of what the order lacks: it was overridden, or it went.
func (v OrderView) LeftToTell() []bench.Tell {
	if v.State == order.Open && v.Override == nil {
		return nil
	}
	return v.Tell
}

// NoAddress refuses what needs an address that an order does not have.
func NoAddress(o order.Order, what string) error {
	return fault.New(fault.Refused, "%s", what).At("%s", o.Mark).ToMend("write it on the order, or say that it is handed over in person")
}
