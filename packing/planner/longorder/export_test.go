package longorder

import (
	"context"

	"solander/packing"
	"solander/packing/planner/parcel"
	"solander/packing/planner/partition"
)

// Mixed has the bound of the first order looked for from a plan as bad as it may be, each copy in a parcel of its
// own, and better plans found by nothing but the parting of the plans into kinds. It returns cost and parcels of the
// plan found, the bound, and whether the plan is called best; false when no such plan is there.
func Mixed(ctx context.Context, p *packing.Problem) (cost int64, parcels int, low int64, proven, there bool) {
	k := parcel.NewKit(p)
	o := k.Orders()[0]
	n := &partition.Split{}
	for g, copies := range o.Counts {
		for range copies {
			set := make([]int, len(o.Counts))
			set[g] = 1
			list := k.Picks(o, set)
			if len(list) == 0 {
				return 0, 0, 0, false, false
			}
			n = &partition.Split{Worth: list[0].Worth.Plus(n.Worth), Pick: &list[0], Rest: n}
		}
	}
	best := n.Worth
	d := newDual(k, o)
	low, prices := d.raise(ctx, n.Money, n.Money, n)
	if prices == nil {
		return 0, 0, 0, false, false
	}
	mixed, proven := d.branch(ctx, n.Worth, prices, func(sets [][]int) parcel.Worth {
		w := parcel.Worth{}
		for _, set := range sets {
			list := k.Picks(o, set)
			if len(list) == 0 {
				return best
			}
			w = w.Plus(list[0].Worth)
		}
		if w.Less(best) {
			best = w
		}
		return best
	})
	return best.Money, best.Parcels, max(low, mixed), proven && max(low, mixed) >= best.Money, true
}
