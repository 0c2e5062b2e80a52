package planner

import (
	"solander/packing"
	"solander/packing/planner/parcel"
	"solander/packing/planner/partition"
)

// Column is an admissible parcel as another program may choose it: what it holds, costs and takes of what is
// limited.
type Column struct {
	Set  []int
	Cost int64
	Use  []int32
}

// OrderColumns is all parcels of an order that may be chosen, with the copies of each group.
type OrderColumns struct {
	Counts  []int
	Columns []Column
}

// Columns lists the parcels of every order, by id; Use is that of the items with a stock, by id.
func Columns(p *packing.Problem) []OrderColumns {
	k := parcel.NewKit(p)
	for _, it := range k.Items {
		if it.Stock != nil {
			it.Track = len(k.Track)
			k.Track = append(k.Track, it)
		}
	}
	var out []OrderColumns
	for _, o := range k.Orders() {
		t := partition.NewTable(k, o)
		oc := OrderColumns{Counts: o.Counts}
		for number := 1; number < t.States; number++ {
			set := t.Set(number)
			for _, pick := range t.Single(number, set) {
				oc.Columns = append(oc.Columns, Column{Set: set, Cost: pick.Money, Use: pick.Use})
			}
		}
		out = append(out, oc)
	}
	return out
}

// Stocks lists how many there are of each item with a stock, by id.
func Stocks(p *packing.Problem) []int {
	var out []int
	for _, it := range parcel.NewKit(p).Items {
		if it.Stock != nil {
			out = append(out, *it.Stock)
		}
	}
	return out
}
