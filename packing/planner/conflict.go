package planner

import (
	"context"

	"solander/packing"
	"solander/packing/planner/partition"
)

// mostTrials bounds how often an order is planned again in search of a smaller set of rules in conflict.
const mostTrials = 400

// conflicts names, for every order that surely cannot go but could without house rules, the rules that forbid it
// together. A computation that is stopped names none for the orders that are left.
func (k *solver) conflicts(ctx context.Context, orders []packing.OrderPlan) {
	if len(k.P.Rules) == 0 {
		return
	}
	var held []int
	for i, o := range orders {
		if o.Parcels == 0 && o.Status == packing.Infeasible && o.Reason.Rule != "shelf.shared" && o.Reason.Rule != "order.partner" {
			held = append(held, i)
		}
	}
	partition.Each(ctx, len(held), nil, func(i int) {
		o := &orders[held[i]]
		for at := range k.P.Orders {
			if k.P.Orders[at].ID == o.ID {
				o.Conflict = k.conflict(ctx, k.P.Orders[at])
			}
		}
	})
}

// conflict returns a smallest set of house rules that together forbid every way to send an order: with these
// alone it cannot go, without any one of them it can. There is none when it could not go without rules either,
// or when that is not proven. Beyond mostTrials the set may not be the smallest, but no rule of it is needless.
func (k *solver) conflict(ctx context.Context, o packing.Order) []packing.Conflict {
	q := &quarrel{k: k, ctx: ctx, o: o}
	all := make([]int, len(k.P.Rules))
	for i := range all {
		all[i] = i
	}
	if q.stuck(nil) || !q.stuck(all) {
		return nil
	}
	set := q.smaller(all, q.reduce(nil, all, false))
	if q.lost || ctx.Err() != nil {
		return nil
	}
	out := make([]packing.Conflict, 0, len(set))
	for _, i := range set {
		out = append(out, packing.Conflict{ID: k.P.Rules[i].ID, Text: k.P.Rules[i].Text})
	}
	return out
}

// quarrel is the search for rules in conflict. lost says that an answer could not be proven.
type quarrel struct {
	k      *solver
	ctx    context.Context
	o      packing.Order
	trials int
	lost   bool
}

// stuck reports that the order cannot go by the rules at these places alone.
func (q *quarrel) stuck(rules []int) bool {
	if q.lost || q.ctx.Err() != nil {
		q.lost = true
		return false
	}
	q.trials++
	p, none := *q.k.P, 0
	p.Orders, p.Rules, p.Options.RejectedMost = []packing.Order{q.o}, nil, &none
	for _, i := range rules {
		p.Rules = append(p.Rules, q.k.P.Rules[i])
	}
	k := newSolver(&p)
	results, _ := k.solve(q.ctx, k.Orders())
	r := results[0]
	q.lost = q.lost || r.split == nil && !r.proven
	return r.split == nil
}

// reduce returns a part of rules, ascending, that with those held leaves the order stuck, and of which none can
// be missed; given that rules and held together do. It halves, so that few trials suffice where few rules quarrel.
func (q *quarrel) reduce(held, rules []int, grown bool) []int {
	switch {
	case grown && q.stuck(held):
		return nil
	case len(rules) == 1:
		return rules
	}
	half := len(rules) / 2
	low, high := rules[:half], rules[half:]
	second := q.reduce(join(held, low), high, len(low) > 0)
	first := q.reduce(join(held, second), low, len(second) > 0)
	return join(first, second)
}

func join(a, b []int) []int {
	out := make([]int, 0, len(a)+len(b))
	return append(append(out, a...), b...)
}

// smaller returns a set of fewer rules in conflict than found, if there is one and the trials suffice.
func (q *quarrel) smaller(all, found []int) []int {
	for size := 1; size < len(found); size++ {
		if q.trials+ways(len(all), size) > mostTrials {
			return found
		}
		if set := q.anyOf(all, nil, size); set != nil {
			return set
		}
	}
	return found
}

// anyOf returns the first set of so many more rules that leaves the order stuck, or nil.
func (q *quarrel) anyOf(rules, chosen []int, more int) []int {
	if more == 0 {
		if q.stuck(chosen) {
			return chosen
		}
		return nil
	}
	for i := range rules {
		if set := q.anyOf(rules[i+1:], join(chosen, rules[i:i+1]), more-1); set != nil {
			return set
		}
	}
	return nil
}

// ways is in how many ways size of n can be chosen, or some number beyond mostTrials.
func ways(n, size int) int {
	out := 1
	for i := range size {
		if out = out * (n - i) / (i + 1); out > mostTrials {
			return mostTrials + 1
		}
	}
	return out
}
