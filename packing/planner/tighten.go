package planner

import (
	"context"
)

// closing is the search for the bound of a long order and, along the way, for better plans of it.
type closing struct {
	*memory
	best *node
}

// tighten looks for the best bound of an order for which a plan is known, and for a plan that is at least as good.
// It also reports whether that plan is proven to be best in every respect.
func (k *kit) tighten(ctx context.Context, o *order, known *node) (best *node, low int64, proven bool) {
	if ctx.Err() != nil && o.states(small) <= small {
		return known, k.leastCost(o), false
	}
	c := &closing{memory: &memory{k: k, o: o, seen: map[string][]pick{}}, best: known}
	d := newDual(k, o)
	low, prices := d.raise(ctx, known.money, known.money-known.money/500, known)
	if prices == nil {
		return known, min(max(k.leastCost(o), low), known.money), false
	}
	if low < c.best.money {
		c.rebuild(ctx, d, prices)
	}
	mixed, tied := d.mix(ctx, c.best.worth, prices, func(sets [][]int) worth { return c.try(ctx, sets) })
	if o.partly.Load() { // what some sets cost at least is not known
		mixed, tied = low, false
	}
	low = max(low, mixed, k.leastCost(o))
	return c.best, min(low, c.best.money), tied && low >= c.best.money && c.best.days <= c.best.worth.parcels*d.soonest()
}

// soonest is the fewest days that a parcel of the order is in the post.
func (d *dual) soonest() int {
	days := unknownDays
	for _, t := range d.list {
		days = min(days, t.days)
	}
	return days
}

// try looks at the parcels of so many sets; it returns the worth of the best plan known then.
func (c *closing) try(ctx context.Context, sets [][]int) worth {
	n := &node{}
	for _, set := range sets {
		p := c.picks(set)
		if len(p) == 0 {
			return c.best.worth
		}
		n = &node{worth: p[0].worth.plus(n.worth), pick: &p[0], rest: n}
	}
	if n.money < c.best.money+c.best.money/50 {
		n = c.improve(ctx, n, fewTries)
	}
	if n.worth.less(c.best.worth) {
		c.best = n
	}
	return c.best.worth
}

// fewTries bounds what is tried from each plan that the search for the bound comes upon.
const fewTries = 300
