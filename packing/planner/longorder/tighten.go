package longorder

import (
	"context"

	"solander/packing/planner/means"
	"solander/packing/planner/parcel"
	"solander/packing/planner/partition"
)

// closing is the search for the bound of a long order and, along the way, for better plans of it.
type closing struct {
	*memory
	incumbent *partition.Split
}

// Tighten looks for the best bound of an order for which a plan is known, and for a plan that is at least as good.
// It also reports whether that plan is proven to be best in every respect.
func Tighten(ctx context.Context, k *parcel.Kit, o *parcel.Order, known *partition.Split) (best *partition.Split, low int64, proven bool) {
	if ctx.Err() != nil && o.States(partition.Small) <= partition.Small {
		return known, partition.LeastCost(k, o), false
	}
	c := &closing{memory: &memory{k: k, o: o, seen: map[string][]parcel.Pick{}}, incumbent: known}
	d := newDual(k, o)
	low, prices := d.raise(ctx, known.Money, known.Money-known.Money/500, known)
	if prices == nil {
		return known, min(max(partition.LeastCost(k, o), low), known.Money), false
	}
	if low < c.incumbent.Money {
		c.rebuild(ctx, d, prices)
	}
	mixed, tied := d.branch(ctx, c.incumbent.Worth, prices, func(sets [][]int) parcel.Worth { return c.try(ctx, sets) })
	if o.Partly.Load() { // what some sets cost at least is not known
		mixed, tied = low, false
	}
	low = max(low, mixed, partition.LeastCost(k, o))
	return c.incumbent, min(low, c.incumbent.Money), tied && low >= c.incumbent.Money && c.incumbent.Days <= c.incumbent.Worth.Parcels*d.soonest()
}

// soonest is the fewest days that a parcel of the order is in the post.
func (d *dual) soonest() int {
	days := means.UnknownDays
	for _, t := range d.list {
		days = min(days, t.days)
	}
	return days
}

// try looks at the parcels of so many sets; it returns the worth of the best plan known then.
func (c *closing) try(ctx context.Context, sets [][]int) parcel.Worth {
	n := &partition.Split{}
	for _, set := range sets {
		p := c.picks(set)
		if len(p) == 0 {
			return c.incumbent.Worth
		}
		n = &partition.Split{Worth: p[0].Worth.Plus(n.Worth), Pick: &p[0], Rest: n}
	}
	if n.Money < c.incumbent.Money+c.incumbent.Money/50 {
		n = c.improve(ctx, n, fewTries)
	}
	if n.Worth.Less(c.incumbent.Worth) {
		c.incumbent = n
	}
	return c.incumbent.Worth
}

// fewTries bounds what is tried from each plan that the search for the bound comes upon.
const fewTries = 300
