package planner

import (
	"context"
	"slices"
)

// mostApart bounds the splits of members side by side.
const mostApart = 200

// longJoint looks for good splits of members that have too many sets of sheets together: all in one row, and each
// member by itself, so that the leave to combine never makes a plan worse.
func (k *solver) longJoint(ctx context.Context, o *order) []*node {
	out := k.apart(ctx, o)
	for _, n := range k.long(ctx, o) {
		out = betterNode(out, n)
	}
	return out
}

// apart plans each member by itself; one that finds no way, or no packaging left by the others, is held.
func (k *solver) apart(ctx context.Context, o *order) []*node {
	list := []*node{{use: make([]int32, len(k.track))}}
	for i := range o.members {
		if !o.all.has(i) {
			continue
		}
		own := o.only(1 << i)
		k.meter.expect(k.steps(own))
		splits, _, _ := k.alone(ctx, own)
		var next []*node
		for _, was := range list {
			held := *was
			held.held++
			next = betterNode(next, &held)
			for _, n := range splits {
				if both := k.beside(was, n); both != nil {
					next = betterNode(next, both)
				}
			}
		}
		slices.SortStableFunc(next, func(a, b *node) int { return a.worth.compare(b.worth) })
		list = next[:min(len(next), mostApart)]
	}
	return slices.DeleteFunc(list, func(n *node) bool { return n.pick == nil })
}

// beside puts the parcels of two splits side by side; nil when they take more than there is.
func (k *solver) beside(a, b *node) *node {
	out := *a
	for _, p := range b.parcels() {
		rest := out
		out = node{worth: p.worth.plus(rest.worth), pick: p, rest: &rest}
	}
	out.use = nil
	if len(k.track) > 0 {
		use, ok := k.sum(a.use, b.use)
		if !ok {
			return nil
		}
		out.use = use
	}
	return &out
}
