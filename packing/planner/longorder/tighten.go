// Package longorder plans an order of too many sets of sheets to look at each, and proves a bound for it, by column
// generation (P. C. Gilmore, R. E. Gomory, "A linear programming approach to the cutting stock problem", 1961, from memory).
//
// It begins with a plan known (packing/planner/heuristic finds one). A linear program chooses among the parcels found; its
// prices lead a search for parcels that cost less than their sheets are worth, which is exact: labels over number and mass,
// on templates that no parcel of a kind is below (packing/planner/least), and the parcels themselves where it comes near.
// Diving makes better plans of it; branch and bound over the numbers of parcels of each kind raises the bound. What is not proven when the work is done is said to be open.
//
// Money is in minor units, prices in parts of one (packing/prices). Bounds are whole numbers, reckoned anew from the
// prices as whole parts and rounded to the safe side; floats only lead the search, and are rounded alike on every processor.
package longorder

import (
	"context"

	"solander/packing/planner/least"
	"solander/packing/planner/means"
	"solander/packing/planner/parcel"
	"solander/packing/planner/partition"
	"solander/packing/prices"
)

const scale = prices.Scale

// What bounds the work, so that it does not depend on the clock: so many steps, and for each pair of copies, and at most.
const (
	leastWork = 400_000_000
	workEach  = 600_000
	mostWork  = 3_000_000_000
	mendShare = 5 // tenths of it for better plans, before the bound is raised
)

// Tighten looks for the best bound of an order for which a plan is known, and for a plan that is at least as good.
// It also reports whether that plan is proven to be best in every respect.
func Tighten(ctx context.Context, k *parcel.Kit, o *parcel.Order, known *partition.Split) (best *partition.Split, low int64, proven bool) {
	low = min(partition.LeastCost(k, o), known.Money)
	if ctx.Err() != nil || known.Money >= prices.Dearest {
		return known, low, false
	}
	list := least.Templates(k, o)
	x := &tree{master: newMaster(k, o, list, known), rest: never}
	if len(x.fields) == 0 {
		return known, low, false
	}
	x.asked = x.questions(k)
	x.most = min(leastWork+workEach*o.Total*o.Total, mostWork)
	at := x.plant(ctx)
	if list := x.dive(ctx, x.all(), at, 1); list != nil {
		x.best = list
	}
	x.mend(ctx, at, x.low(), x.work+(x.most-x.work)*mendShare/10)
	x.grow(ctx)
	least, proven := x.low(), x.proven()
	if o.Partly.Load() { // what some sets cost at least is known by their templates alone
		x.loose, proven = true, false
		x.nodes, x.most = nil, 2*x.most
		x.plant(ctx)
		least = x.low()
	}
	best = known
	if w := worthOf(x.best); w.Less(known.Worth) {
		best = &partition.Split{}
		for _, p := range x.best {
			best = &partition.Split{Worth: p.Worth.Plus(best.Worth), Pick: p, Rest: best}
		}
	}
	low = min(max(low, least), best.Money)
	return best, low, proven && best.Days <= best.Worth.Parcels*soonest(list)
}

// soonest is the fewest days that a parcel of an order is in the post.
func soonest(list []*least.Template) int {
	days := means.UnknownDays
	for _, t := range list {
		days = min(days, t.Days)
	}
	return days
}

// all is the task of the whole order at less than the plan known.
func (x *master) all() task {
	money := worthOf(x.best).Money
	copies, cheapest := 1, money
	for _, f := range x.fields {
		copies, cheapest = max(copies, f.copies), min(cheapest, prices.Upwards(f.cheapest, scale))
	}
	t := task{counts: x.o.Counts, top: money, from: (x.o.Total + copies - 1) / copies, to: x.o.Total}
	if cheapest > 0 {
		t.to = min(t.to, int(money/cheapest))
	}
	return t
}

// plant parts the plans into those of as many parcels as the one known, of fewer and of more, and raises the bound of each. It
// returns the prices of the first.
func (x *tree) plant(ctx context.Context) []float64 {
	n := len(x.best)
	var at []float64
	for _, side := range [][2]int{{n, n}, {1, n - 1}, {n + 1, x.o.Total}} {
		m := &node{task: x.all(), at: at, far: true}
		if m.from, m.to = max(m.from, side[0]), min(m.to, side[1]); m.from > m.to {
			continue
		}
		m.open = !x.raise(ctx, m, 2*rounds)
		if x.push(m); at == nil {
			at = m.at
		}
	}
	for _, m := range x.nodes {
		if m.open && !x.pruned(m) {
			x.raise(ctx, m, 2*rounds)
		}
	}
	return at
}
