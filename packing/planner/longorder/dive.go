package longorder

import (
	"context"
	"slices"

	"solander/packing/planner/memo"
	"solander/packing/planner/parcel"
)

// Good plans come from the linear program: of its parcels the one that is taken most is taken whole, what is left is solved
// anew, and so on, with a second try where the first one goes astray (R. Sadykov, F. Vanderbeck, "Bin packing with conflicts:
// a generic branch-and-price algorithm", 2013, from memory). Of the best plan some parcels are taken apart and solved so.

const (
	diveRounds  = 30
	mostApart   = 5  // parcels taken apart
	diveMisses  = 60 // times that nothing was saved, for each parcel of a plan, until it is given up
	secondTries = 1
)

// dive looks for a plan of a task that costs less than its top; nil when none was found.
func (x *master) dive(ctx context.Context, t task, at []float64, tries int) []*parcel.Pick {
	var best []*parcel.Pick
	without := map[string]bool{}
	for ; tries >= 0 && ctx.Err() == nil; tries-- {
		m := &node{task: t, at: at}
		m.from, m.to, m.rows, m.without = 0, sum(t.counts), nil, without
		if x.raise(ctx, m, diveRounds); x.over(m) || m.value > float64(m.top)-0.5 {
			break
		}
		at = m.at
		pick := -1
		for i, v := range m.share {
			if v > 1e-6 && (pick < 0 || v > m.share[pick]+1e-9) {
				pick = i
			}
		}
		if pick < 0 {
			break
		}
		p := x.pool[pick].Pick
		left := m.task
		left.counts, left.top = less(t.counts, p.Set), t.top-p.Money
		list := []*parcel.Pick{p}
		if sum(left.counts) > 0 && left.top > 0 {
			list = append(list, x.dive(ctx, left, at, max(tries-1, 0))...)
		}
		if w := worthOf(list); covers(list, t.counts) && w.Money < t.top {
			best, t.top = list, w.Money
		}
		if m.share[pick] > 1-1e-4 {
			break
		}
		without = map[string]bool{memo.Key(p.Set): true}
	}
	return best
}

// over reports that no plan of a node costs less than its top.
func (x *master) over(m *node) bool { return m.low > (m.top-1)*scale }

func sum(list []int) int {
	n := 0
	for _, k := range list {
		n += k
	}
	return n
}

func less(a, b []int) []int {
	out := slices.Clone(a)
	for g, n := range b {
		out[g] -= n
	}
	return out
}

// covers reports that parcels hold just so many copies.
func covers(list []*parcel.Pick, counts []int) bool {
	left := counts
	for _, p := range list {
		left = less(left, p.Set)
	}
	return !slices.ContainsFunc(left, func(n int) bool { return n != 0 })
}

// mend takes some parcels of the best plan apart, by numbers that are the same in every run, and solves their sheets
// anew, until so much work is done, nothing was saved for long, or the plan is as good as the bound.
func (x *master) mend(ctx context.Context, at []float64, enough int64, work int) {
	chance := uint64(1)
	next := func(n int) int {
		chance = chance*6364136223846793005 + 1442695040888963407
		return int(chance >> 33 % uint64(n))
	}
	for misses := 0; misses < diveMisses*len(x.best) && x.work < work && ctx.Err() == nil && worthOf(x.best).Money > enough && len(x.best) > 1; misses++ {
		rest := slices.Clone(x.best)
		t := task{counts: make([]int, len(x.price))}
		for range min(2+next(mostApart-1), len(rest)) {
			i := next(len(rest))
			t.top += rest[i].Money
			for g, n := range rest[i].Set {
				t.counts[g] += n
			}
			rest = slices.Delete(rest, i, i+1)
		}
		if list := x.dive(ctx, t, at, secondTries); list != nil {
			x.best = append(rest, list...)
			misses = 0
		}
	}
}
