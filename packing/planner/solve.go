package planner

import (
	"context"

	"solander/packing"
)

// solver answers all orders of a problem together.
type solver struct {
	*kit
	meter *meter
}

func newSolver(p *packing.Problem) *solver { return &solver{kit: newKit(p)} }

// result is what became of an order, or of orders planned together. A nil node holds all of them.
type result struct {
	o      *order
	node   *node
	proven bool
	bound  int64   // no way to send the orders sent here costs less
	able   members // those that could go if there were packaging enough, when proven
	held   []hold  // by member; no reason = sent
}

// hold holds the orders that the node does not send.
func (r *result) hold(why func(member int) hold) *result {
	r.held = make([]hold, len(r.o.members))
	sent := r.o.sent(r.node)
	for i := range r.o.members {
		if !sent.has(i) {
			r.held[i] = why(i)
		}
	}
	return r
}

// because is a reason for every order that is held.
func because(reason *packing.Reason) func(int) hold {
	return func(int) hold { return hold{reason: reason} }
}

// alone solves one order as if nobody else used the shelf; only watched stock is a limit. It returns
// every split that may matter, best first by worth, and whether they are proven to be all.
func (k *solver) alone(ctx context.Context, o *order) (splits []*node, proven bool, t *table) {
	steps := k.stint(o)
	defer steps.end()
	if o.states(k.p.Options.States()) > k.p.Options.States() {
		if o.all.count() > 1 {
			return k.longJoint(ctx, o), false, nil
		}
		return k.long(ctx, o), false, nil
	}
	t = k.newTable(o)
	if t.states > small {
		splits = k.oneRow(ctx, o)
	}
	if all, ok := t.solve(ctx, steps.pass); ok {
		return all, !o.partly.Load(), t
	}
	return splits, false, nil
}

// first solves an order without watched stock.
func (k *solver) first(ctx context.Context, o *order) *result {
	r := &result{o: o}
	if ctx.Err() != nil {
		return k.stopped(r)
	}
	splits, proven, t := k.alone(ctx, o)
	r.proven = proven
	if r.node = best(splits); r.node != nil {
		r.bound = r.node.money
	}
	if proven {
		r.able = t.able
		return r.hold(func(i int) hold { return k.held(o, i, t) })
	}
	if ctx.Err() != nil && r.node == nil {
		return k.stopped(r)
	}
	if r.node == nil {
		r.bound = k.leastCost(o)
	} else {
		sent := o.sent(r.node)
		known := *r.node
		known.held = 0
		tight, low, best := k.tighten(ctx, o.only(sent), &known)
		now := *tight
		now.held = r.node.held
		r.node, r.bound = &now, low
		if best && sent == o.all { // that others might go instead of those sent is not looked at
			r.proven, r.able = true, o.all
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
	r.bound = k.leastCost(r.o)
	return r.hold(because(stopped))
}

// solve answers all orders. Each is solved alone first; where their plans together take more of an item
// than there is, the orders that take scarce items are solved together.
func (k *solver) solve(ctx context.Context, orders []*order) (results []*result, above int64) {
	relaxed := make([]*result, len(orders))
	for _, o := range orders {
		k.meter.expect(k.steps(o))
	}
	each(context.WithoutCancel(ctx), len(orders), nil, func(i int) { relaxed[i] = k.first(ctx, orders[i]) })
	results = relaxed
	for {
		short := k.overdrawn(results)
		if len(short) == 0 {
			return results, above
		}
		for _, it := range short {
			it.track = len(k.track)
			k.track = append(k.track, it)
		}
		results, above = k.share(ctx, relaxed)
	}
}

// overdrawn returns the items not yet watched of which plans take more than there are, by id.
func (k *solver) overdrawn(results []*result) []*item {
	count := make([]int, len(k.items))
	for _, r := range results {
		for _, p := range r.node.parcels() {
			for c := p.final.last; c != nil; c = c.prev {
				count[c.item.index] += c.count
			}
		}
	}
	var out []*item
	for _, it := range k.items {
		if it.Stock != nil && it.track < 0 && count[it.index] > *it.Stock {
			out = append(out, it)
		}
	}
	return out
}
