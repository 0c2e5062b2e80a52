package planner

import (
	"context"
	"slices"

	"solander/packing/planner/heuristic"
	"solander/packing/planner/parcel"
	"solander/packing/planner/partition"
)

// mostApart bounds the splits of members side by side.
const mostApart = 200

// longJoint looks for good splits of members that have too many sets of sheets together: all in one row, and each
// member by itself, so that the leave to combine never makes a plan worse.
func (k *solver) longJoint(ctx context.Context, o *parcel.Order) []*partition.Split {
	out := k.apart(ctx, o)
	for _, n := range heuristic.Search(ctx, k.Kit, o) {
		out = partition.AddToFront(out, n)
	}
	return out
}

// apart plans each member by itself; one that finds no way, or no packaging left by the others, is held.
func (k *solver) apart(ctx context.Context, o *parcel.Order) []*partition.Split {
	list := []*partition.Split{{Use: make([]int32, len(k.Track))}}
	for i := range o.Members {
		if !o.All.Has(i) {
			continue
		}
		own := o.Only(1 << i)
		k.meter.expect(k.steps(own))
		splits, _, _ := k.alone(ctx, own)
		var next []*partition.Split
		for _, was := range list {
			held := *was
			held.Held++
			next = partition.AddToFront(next, &held)
			for _, n := range splits {
				if both := k.beside(was, n); both != nil {
					next = partition.AddToFront(next, both)
				}
			}
		}
		slices.SortStableFunc(next, func(a, b *partition.Split) int { return a.Worth.Compare(b.Worth) })
		list = next[:min(len(next), mostApart)]
	}
	return slices.DeleteFunc(list, func(n *partition.Split) bool { return n.Pick == nil })
}

// beside puts the parcels of two splits side by side; nil when they take more than there is.
func (k *solver) beside(a, b *partition.Split) *partition.Split {
	out := *a
	for _, p := range b.Parcels() {
		rest := out
		out = partition.Split{Worth: p.Worth.Plus(rest.Worth), Pick: p, Rest: &rest}
	}
	out.Use = nil
	if len(k.Track) > 0 {
		use, ok := partition.Sum(k.Kit, a.Use, b.Use)
		if !ok {
			return nil
		}
		out.Use = use
	}
	return &out
}
