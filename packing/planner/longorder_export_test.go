package planner

import (
	"context"

	"solander/packing"
)

// Mixed has the bound of the first order looked for from a plan as bad as it may be, each copy in a parcel of its
// own, and better plans found by nothing but the parting of the plans into kinds. It returns cost and parcels of the
// plan found, the bound, and whether the plan is called best; false when no such plan is there.
func Mixed(ctx context.Context, p *packing.Problem) (cost int64, parcels int, low int64, proven, there bool) {
	k := newKit(p)
	o := k.orders()[0]
	n := &node{}
	for g, copies := range o.counts {
		for range copies {
			set := make([]int, len(o.counts))
			set[g] = 1
			list := k.picks(o, set)
			if len(list) == 0 {
				return 0, 0, 0, false, false
			}
			n = &node{worth: list[0].worth.plus(n.worth), pick: &list[0], rest: n}
		}
	}
	best := n.worth
	d := newDual(k, o)
	low, prices := d.raise(ctx, n.money, n.money, n)
	if prices == nil {
		return 0, 0, 0, false, false
	}
	mixed, proven := d.mix(ctx, n.worth, prices, func(sets [][]int) worth {
		w := worth{}
		for _, set := range sets {
			list := k.picks(o, set)
			if len(list) == 0 {
				return best
			}
			w = w.plus(list[0].worth)
		}
		if w.less(best) {
			best = w
		}
		return best
	})
	return best.money, best.parcels, max(low, mixed), proven && max(low, mixed) >= best.money, true
}
