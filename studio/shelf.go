package studio

import (
	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/packing"
	"solander/supply"
)

// Validate looks at a shelf item alone. Faults: Invalid.
func (i ShelfItem) Validate() error {
	var l fault.List
	l.Add(order.Text("spec.id", i.Spec.ID, 60, true))
	l.Add(order.Text("spec.name", i.Spec.Name, 120, true))
	l.Check(i.Spec.Cost >= 0 && i.Spec.Cost <= money.MaxMinor, "spec.cost", "the cost of a piece is negative or absurd", "give the price of one piece")
	l.Check(i.ReorderAt >= -1 && i.ReorderAt <= supply.MaxSheets, "reorder_at", "the reorder level is negative or absurd", "use 0 to be told when none is left, -1 for never")
	l.Check(i.Pack >= 0 && i.Pack <= supply.MaxSheets, "pack", "the size of a pack is negative or absurd", "use 1 for single pieces")
	l.Check(i.Coming >= 0 && i.Coming <= supply.MaxSheets, "coming", "the number of ordered pieces is negative or absurd", "use 0 when none are ordered")
	l.Add(Sane("expected", i.Expected))
	l.Check(i.Expected.IsZero() || i.Coming > 0, "expected", "a day is given, but no piece is ordered", "say how many are ordered, or leave the day empty")
	l.Add(FaultsBelow(Trial([]packing.Item{i.Spec}, nil, nil), "shelf[0].", "spec."))
	return l.Err()
}
