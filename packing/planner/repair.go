package planner

import (
	"context"
	"slices"

	"solander/packing/planner/parcel"
	"solander/packing/planner/partition"
)

// An allocation that is known becomes better by choosing anew for one order, or for two at a time, from what the others
// leave of the scarce stock, as long as that saves.

// repairPasses bounds how often all pairs of orders are looked at.
const repairPasses = 3

// repairing is an allocation by orders, and what it leaves.
type repairing struct {
	s      *front
	chosen []*partition.Split
	few    [][]*partition.Split // of each order the splits to choose from
	left   []int32
}

// repair returns an allocation that is at least as good.
func (s *front) repair(ctx context.Context, found *allocation) *allocation {
	r := &repairing{s: s, chosen: make([]*partition.Split, len(s.choices))}
	for _, t := range s.k.Track {
		r.left = append(r.left, int32(*t.Stock))
	}
	for i, m := len(s.choices)-1, found; i >= 0; i, m = i-1, m.prev {
		r.chosen[i] = m.split
		r.give(m.split, -1)
	}
	for _, splits := range s.choices {
		r.few = append(r.few, s.fewSplits(splits))
	}
	for range repairPasses {
		if !r.pass(ctx) {
			break
		}
	}
	out := &allocation{use: make([]int32, len(r.left))}
	for i, n := range r.chosen {
		next := &allocation{Worth: out.Worth.Plus(r.worthOf(n, i)), use: slices.Clone(out.use), split: n, prev: out}
		if n != nil {
			for t, u := range n.Use {
				next.use[t] += u
			}
		}
		out = next
	}
	return out
}

// pass looks at every order and every pair once; false when nothing was saved.
func (r *repairing) pass(ctx context.Context) bool {
	saved := false
	for i := range r.chosen {
		for j := i; j < len(r.chosen); j++ {
			if ctx.Err() != nil {
				return false
			}
			saved = r.pair(i, j) || saved
		}
	}
	return saved
}

// pair chooses anew for two orders, or for one.
func (r *repairing) pair(i, j int) bool {
	if i != j && !r.matters(i) && !r.matters(j) {
		return false
	}
	was := r.worthOf(r.chosen[i], i)
	r.give(r.chosen[i], 1)
	if i != j {
		was = was.Plus(r.worthOf(r.chosen[j], j))
		r.give(r.chosen[j], 1)
	}
	a, b, better := r.chosen[i], r.chosen[j], false
	for _, n := range r.few[i] {
		if !r.fits(n) {
			continue
		}
		if i == j {
			if n.Worth.Less(was) {
				a, b, was, better = n, n, n.Worth, true
			}
			continue
		}
		r.give(n, -1)
		for _, o := range r.few[j] {
			if w := n.Worth.Plus(o.Worth); w.Less(was) && r.fits(o) {
				a, b, was, better = n, o, w, true
			}
		}
		r.give(n, 1)
	}
	r.chosen[i], r.chosen[j] = a, b
	r.give(a, -1)
	if i != j {
		r.give(b, -1)
	}
	return better
}

// matters reports that an order's split is not the best that it could have.
func (r *repairing) matters(i int) bool {
	n := r.chosen[i]
	return n == nil || slices.ContainsFunc(r.few[i], func(o *partition.Split) bool { return o.Worth.Less(n.Worth) })
}

func (r *repairing) worthOf(n *partition.Split, at int) parcel.Worth {
	if n == nil {
		return parcel.Worth{Held: len(r.s.tied[at].o.Members)}
	}
	return n.Worth
}

// give gives back what a split takes, or takes it.
func (r *repairing) give(n *partition.Split, sign int32) {
	if n == nil {
		return
	}
	for t, u := range n.Use {
		r.left[t] += sign * u
	}
}

func (r *repairing) fits(n *partition.Split) bool {
	for t, u := range n.Use {
		if u > r.left[t] {
			return false
		}
	}
	return true
}
