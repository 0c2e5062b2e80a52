package planner

import (
	"solander/packing"
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
	k := newKit(p)
	for _, it := range k.items {
		if it.Stock != nil {
			it.track = len(k.track)
			k.track = append(k.track, it)
		}
	}
	var out []OrderColumns
	for _, o := range k.orders() {
		t := k.newTable(o)
		oc := OrderColumns{Counts: o.counts}
		for number := 1; number < t.states; number++ {
			set := t.set(number)
			for _, pick := range t.single(number, set) {
				oc.Columns = append(oc.Columns, Column{Set: set, Cost: pick.money, Use: pick.use})
			}
		}
		out = append(out, oc)
	}
	return out
}

// Stocks lists how many there are of each item with a stock, by id.
func Stocks(p *packing.Problem) []int {
	var out []int
	for _, it := range newKit(p).items {
		if it.Stock != nil {
			out = append(out, *it.Stock)
		}
	}
	return out
}
