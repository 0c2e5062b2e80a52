package heuristic

import (
	"context"
	"slices"

	"solander/packing/planner/parcel"
	"solander/packing/planner/partition"
)

// mostTries bounds the work of improve, so that it does not depend on the clock.
const mostTries = 6000

// moving is a split whose sheets are moved from parcel to parcel.
type moving struct {
	*search
	list  []*parcel.Pick
	tries int
	over  func() bool // enough was tried, or the context is cancelled
}

// improve moves and swaps sheets between two parcels of a split, or empties one, as long as that saves and no more
// than so many moves are tried.
func (s *search) improve(ctx context.Context, n *partition.Split, most int) *partition.Split {
	v := &moving{search: s, list: n.Parcels()}
	v.over = func() bool { return v.tries > most || ctx.Err() != nil }
	for v.round() {
	}
	out := &partition.Split{}
	for i := len(v.list) - 1; i >= 0; i-- {
		out = &partition.Split{Worth: v.list[i].Worth.Plus(out.Worth), Pick: v.list[i], Rest: out}
	}
	return out
}

// round looks at every pair of parcels once; false when nothing was saved or the work is over.
func (v *moving) round() bool {
	saved := false
	for i := 0; i < len(v.list); i++ {
		for j := 0; j < len(v.list); j++ {
			if i == j || i >= len(v.list) {
				continue
			}
			if v.over() {
				return false
			}
			saved = v.pair(i, j) || saved
		}
	}
	return saved
}

// pair moves sheets from parcel i to parcel j, then swaps one for one.
func (v *moving) pair(i, j int) bool {
	saved := v.shift(i, j, v.list[i].Set)
	for g := range v.o.Groups {
		for n := 1; i < len(v.list) && j < len(v.list) && n <= v.list[i].Set[g] && !v.over(); n *= 2 {
			by := make([]int, len(v.o.Groups))
			by[g] = n
			saved = v.shift(i, j, by) || saved
		}
	}
	for g := range v.o.Groups {
		for h := range v.o.Groups {
			if g == h || i >= len(v.list) || j >= len(v.list) || v.list[i].Set[g] == 0 || v.list[j].Set[h] == 0 || v.over() {
				continue
			}
			by := make([]int, len(v.o.Groups))
			by[g], by[h] = 1, -1
			saved = v.shift(i, j, by) || saved
		}
	}
	return saved
}

// shift moves so many copies of each group from i to j if that saves.
func (v *moving) shift(i, j int, by []int) bool {
	from, to := slices.Clone(v.list[i].Set), slices.Clone(v.list[j].Set)
	left := 0
	for g, n := range by {
		from[g], to[g] = from[g]-n, to[g]+n
		left += from[g]
	}
	v.tries++
	was := v.list[i].Worth.Plus(v.list[j].Worth)
	b := v.known.Of(to)
	if len(b) == 0 {
		return false
	}
	if left == 0 {
		if b[0].Worth.Less(was) {
			v.list[j] = &b[0]
			v.list = slices.Delete(v.list, i, i+1)
			return true
		}
		return false
	}
	a := v.known.Of(from)
	if len(a) == 0 || !a[0].Worth.Plus(b[0].Worth).Less(was) {
		return false
	}
	v.list[i], v.list[j] = &a[0], &b[0]
	return true
}
