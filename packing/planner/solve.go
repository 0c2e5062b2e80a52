package planner

import (
	"context"

	"solander/packing"
	"solander/packing/planner/explain"
	"solander/packing/planner/heuristic"
	"solander/packing/planner/longorder"
	"solander/packing/planner/means"
	"solander/packing/planner/parcel"
	"solander/packing/planner/partition"
)

// solver answers all orders of a problem together.
type solver struct {
	*parcel.Kit
	meter *meter
}

func newSolver(p *packing.Problem) *solver { return &solver{Kit: parcel.NewKit(p)} }

// result is what became of an order, or of orders planned together. A nil node holds all of them.
type result struct {
	o      *parcel.Order
	split  *partition.Split
	proven bool
	bound  int64          // no way to send the orders sent here costs less
	able   parcel.Members // those that could go if there were packaging enough, when proven
	held   []explain.Hold // by member; no reason = sent
}

// hold holds the orders that the node does not send.
func (r *result) hold(why func(member int) explain.Hold) *result {
	r.held = make([]explain.Hold, len(r.o.Members))
	sent := partition.Sent(r.o, r.split)
	for i := range r.o.Members {
		if !sent.Has(i) {
			r.held[i] = why(i)
		}
	}
	return r
}

// because is a reason for every order that is held.
func because(reason *packing.Reason) func(int) explain.Hold {
	return func(int) explain.Hold { return explain.Hold{Reason: reason} }
}

// alone solves one order as if nobody else used the shelf; only watched stock is a limit. It returns
// every split that may matter, best first by worth, and whether they are proven to be all.
func (k *solver) alone(ctx context.Context, o *parcel.Order) (splits []*partition.Split, proven bool, t *partition.Table) {
	steps := k.stint(o)
	defer steps.end()
	if o.States(k.P.Options.States()) > k.P.Options.States() {
		if o.All.Count() > 1 {
			return k.longJoint(ctx, o), false, nil
		}
		return heuristic.Search(ctx, k.Kit, o), false, nil
	}
	t = partition.NewTable(k.Kit, o)
	if t.States > partition.Small {
		splits = heuristic.OneRow(ctx, k.Kit, o)
	}
	if all, ok := t.Solve(ctx, steps.pass); ok {
		return all, !o.Partly.Load(), t
	}
	return splits, false, nil
}

// first solves an order without watched stock.
func (k *solver) first(ctx context.Context, o *parcel.Order) *result {
	r := &result{o: o}
	if ctx.Err() != nil {
		return k.stopped(r)
	}
	splits, proven, t := k.alone(ctx, o)
	r.proven = proven
	if r.split = partition.Best(splits); r.split != nil {
		r.bound = r.split.Money
	}
	if proven {
		r.able = t.Able
		return r.hold(func(i int) explain.Hold { return explain.Held(k.Kit, o, i, t) })
	}
	if ctx.Err() != nil && r.split == nil {
		return k.stopped(r)
	}
	if r.split == nil {
		r.bound = partition.LeastCost(k.Kit, o)
	} else {
		sent := partition.Sent(o, r.split)
		known := *r.split
		known.Held = 0
		tight, low, best := longorder.Tighten(ctx, k.Kit, o.Only(sent), &known)
		now := *tight
		now.Held = r.split.Held
		r.split, r.bound = &now, low
		if best && sent == o.All { // that others might go instead of those sent is not looked at
			r.proven, r.able = true, o.All
		}
	}
	why := &packing.Reason{Rule: "plan.unfound", Text: "no way to pack this order was found, but not every way was looked at"}
	if ctx.Err() != nil {
		why = stopped
	}
	return r.hold(because(why))
}

var stopped = &packing.Reason{Rule: "plan.stopped", Text: "the computation was stopped before this order was finished"}

func (k *solver) stopped(r *result) *result {
	r.bound = partition.LeastCost(k.Kit, r.o)
	return r.hold(because(stopped))
}

// solve answers all orders. Each is solved alone first; where their plans together take more of an item
// than there is, the orders that take scarce items are solved together.
func (k *solver) solve(ctx context.Context, orders []*parcel.Order) (results []*result, above int64) {
	relaxed := make([]*result, len(orders))
	for _, o := range orders {
		k.meter.expect(k.steps(o))
	}
	partition.Each(context.WithoutCancel(ctx), len(orders), nil, func(i int) { relaxed[i] = k.first(ctx, orders[i]) })
	results = relaxed
	for {
		short := k.overdrawn(results)
		if len(short) == 0 {
			return results, above
		}
		for _, it := range short {
			it.Track = len(k.Track)
			k.Track = append(k.Track, it)
		}
		results, above = k.share(ctx, relaxed)
	}
}

// overdrawn returns the items not yet watched of which plans take more than there are, by id.
func (k *solver) overdrawn(results []*result) []*means.Item {
	count := k.used(results)
	var out []*means.Item
	for _, it := range k.Items {
		if it.Stock != nil && it.Track < 0 && count[it.Index] > *it.Stock {
			out = append(out, it)
		}
	}
	return out
}
