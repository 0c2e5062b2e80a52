package longorder

import (
	"cmp"
	"context"
	"slices"

	"solander/measure"
	"solander/packing/planner/parcel"
	"solander/packing/prices"
)

// Branch and bound over the linear program. A node's plans are parted by a number that is whole in each of them: that of
// all parcels, of those that hold a sheet so large, one of a grade, so many sheets, or two sheets together (P. H. Vance, C.
// Barnhart, E. L. Johnson, G. L. Nemhauser, "Solving binary cutting stock problems by column generation and branch-and-bound",
// 1994). Before that, cuts raise the bound: of three sheets, parcels that hold two are one at most (R. Baldacci, N.
// Christofides, A. Mingozzi, "An exact algorithm for the vehicle routing problem based on the set partitioning formulation
// with additional cuts", 2008). Both papers from memory.

const (
	cutRounds = 3    // at a node
	mostCuts  = 30   // a round, and how many more than groups there are at most
	leastOff  = 0.05 // by which a cut is broken
	fewGroups = 8    // of which all are taken together in every way for cuts
)

// tree is the search.
type tree struct {
	*master
	asked []row // what may part a node, what matters most first
	nodes []*node
	rest  int64 // the least bound of what cannot be parted, in parts
}

// pruned reports that no plan of a node is better than the best known: it costs more, or as much in no fewer parcels.
func (x *tree) pruned(m *node) bool {
	low, plan := prices.Upwards(m.low, scale), worthOf(x.best)
	if low == plan.Money {
		m.to = min(m.to, plan.Parcels-1)
	}
	return low > plan.Money || m.from > m.to
}

func worthOf(list []*parcel.Pick) parcel.Worth {
	var w parcel.Worth
	for _, p := range list {
		w = w.Plus(p.Worth)
	}
	return w
}

func (x *tree) push(m *node) {
	if !x.pruned(m) {
		x.nodes = append(x.nodes, m)
	}
}

// grow goes on, with the lowest bound first, until all is proven or all work is done.
func (x *tree) grow(ctx context.Context) {
	for len(x.nodes) > 0 && x.work < x.most && ctx.Err() == nil {
		at := 0
		for i, m := range x.nodes {
			if m.low < x.nodes[at].low {
				at = i
			}
		}
		m := x.nodes[at]
		if m.low >= x.rest {
			return // nothing is won any more
		}
		if x.nodes = slices.Delete(x.nodes, at, at+1); !x.pruned(m) {
			x.part(ctx, m)
		}
	}
}

// low is what no better plan costs less than, in minor units; as much as the best known when there is none.
func (x *tree) low() int64 {
	low := min(x.rest, worthOf(x.best).Money*scale)
	for _, m := range x.nodes {
		if !x.pruned(m) {
			low = min(low, m.low)
		}
	}
	return prices.Upwards(low, scale)
}

// proven reports that no plan is better than the best known.
func (x *tree) proven() bool {
	return x.rest == never && !slices.ContainsFunc(x.nodes, func(m *node) bool { return !x.pruned(m) })
}

const never = int64(1) << 62

// part raises a node's bound and puts its parts in its place.
func (x *tree) part(ctx context.Context, m *node) {
	plan, to := worthOf(x.best), m.to
	m.top = plan.Money + int64(btoi(m.to < plan.Parcels))
	was := m.low
	ended := x.raise(ctx, m, rounds)
	if x.pruned(m) {
		return
	}
	if ctx.Err() != nil || m.to < to || !ended && m.low > was {
		x.push(m)
		return
	}
	for i := 0; i < cutRounds && !x.pruned(m) && x.cutOff(m) && ctx.Err() == nil; i++ {
		x.raise(ctx, m, rounds)
		x.whole(m)
	}
	if x.whole(m); x.pruned(m) {
		return
	}
	r, number := x.question(m)
	if r == nil {
		x.rest = min(x.rest, m.low)
		return
	}
	low, high := *m, *m
	low.far, high.far = false, false
	if len(r.of) == len(x.counts) && r.many == 1 {
		low.to, high.from = number, number+1
	} else {
		a, b := *r, *r
		a.limit, b.limit, b.least = number, number+1, true
		low.rows, high.rows = append(slices.Clone(m.rows), a), append(slices.Clone(m.rows), b)
		low.at, high.at = append(slices.Clone(m.at), 0), append(slices.Clone(m.at), 0)
	}
	x.push(&low)
	x.push(&high)
}

// whole takes over the plan of a node that takes only whole parcels.
func (x *tree) whole(m *node) {
	var list []*parcel.Pick
	left := slices.Clone(x.counts)
	for i, v := range m.share {
		for ; v > 0.5; v-- {
			if v < 1-1e-4 {
				return
			}
			list = append(list, x.pool[i].Pick)
			for g, n := range x.pool[i].Set {
				left[g] -= n
			}
		}
	}
	x.take(list, left)
}

// take takes a plan over when it is better and nothing is left.
func (x *master) take(list []*parcel.Pick, left []int) {
	if !slices.ContainsFunc(left, func(n int) bool { return n != 0 }) && worthOf(list).Less(worthOf(x.best)) {
		x.best = list
	}
}

// number is how many parcels a node takes that count for a row.
func (x *tree) number(r *row, m *node) float64 {
	sum := 0.0
	for i, v := range m.share {
		if v > 0 {
			sum += float64(v * float64(r.counted(x.pool[i].Set)))
		}
	}
	return sum
}

// question is the row whose number is farthest from whole, of the first kind that is far from it; nil when none is.
func (x *tree) question(m *node) (*row, int) {
	var best *row
	at, far := 0, 0.0
	for i := range x.asked {
		r := &x.asked[i]
		n := x.number(r, m)
		down := int(n)
		off := min(n-float64(down), float64(down+1)-n)
		if i == 0 && off > leastOff {
			return r, down
		}
		// Several sheets together say more than two.
		if off *= 1 / (1 + float64(btoi(len(r.of) <= 2))); off > far && off > 1e-3 {
			best, at, far = r, down, off
		}
	}
	return best, at
}

// questions lists what may part a node.
func (x *master) questions(k *parcel.Kit) []row {
	n := len(x.o.Counts)
	var all, graded []int
	var sides []measure.Length
	for g, bits := range gradingOf(k, x.o).bits {
		all = append(all, g)
		sides = append(sides, x.o.Groups[g].Leaf.Long())
		if bits != 0 {
			graded = append(graded, g)
		}
	}
	out := []row{{of: all, many: 1}}
	if len(graded) > 0 {
		out = append(out, row{of: graded, many: 1})
	}
	slices.Sort(sides)
	for _, least := range slices.Compact(sides)[1:] {
		r := row{many: 1}
		for g := range n {
			if x.o.Groups[g].Leaf.Long() >= least {
				r.of = append(r.of, g)
			}
		}
		out = append(out, r)
	}
	for many := 2; many <= min(x.o.Total, mostFew); many++ {
		out = append(out, row{of: all, many: many})
	}
	for g, c := range x.o.Counts {
		for many := 1; many <= min(c, mostFew) && c > 1; many++ {
			out = append(out, row{of: []int{g}, many: many})
		}
		for h := g + 1; h < n; h++ {
			out = append(out, row{of: []int{g, h}, many: 2})
		}
	}
	return out
}

// cutOff adds the cuts that the shares of a node break most, and drops those that matter no more; false when none is
// broken.
func (x *tree) cutOff(m *node) bool {
	var parts []int
	for i, v := range m.share {
		if v > 1e-6 && v < 1-1e-6 {
			parts = append(parts, i)
		}
	}
	type broken struct {
		row
		by float64
	}
	var list []broken
	for _, r := range x.cuts(parts) {
		by := -float64(r.limit)
		for _, i := range parts {
			by += float64(m.share[i] * float64(r.counted(x.pool[i].Set)))
		}
		if by > leastOff {
			list = append(list, broken{r, by})
		}
	}
	slices.SortStableFunc(list, func(a, b broken) int { return cmp.Compare(b.by, a.by) })
	n := len(x.counts)
	rows, at := m.rows[:0:0], slices.Clone(m.at[:n+2])
	for i, r := range m.rows {
		if !r.cut || m.at[n+2+i] < 0 {
			rows, at = append(rows, r), append(at, m.at[n+2+i])
		}
	}
	uses := make([]int, n)
	for _, b := range list[:min(len(list), 4*mostCuts)] {
		if (n <= fewGroups || max(uses[b.of[0]], uses[b.of[1]], uses[b.of[2]]) < 3) && len(rows) < n+mostCuts {
			for _, g := range b.of {
				uses[g]++
			}
			rows, at = append(rows, b.row), append(at, 0)
		}
	}
	if len(list) == 0 {
		return false
	}
	m.rows, m.at = rows, at
	return true
}

// cuts lists what may be cut off: of some groups, no more parcels hold so many copies than whole times that go into all of
// them. Few groups are looked at in every way, of many only three at a time, for two copies.
func (x *tree) cuts(parts []int) []row {
	var out []row
	offer := func(of []int, many int) {
		r := row{of: of, many: many, cut: true}
		for _, g := range of {
			r.limit += x.counts[g]
		}
		if r.limit%many > 0 {
			r.limit /= many
			out = append(out, r)
		}
	}
	if n := len(x.counts); n <= fewGroups {
		for set := 1; set < 1<<n; set++ {
			var of []int
			for g := range n {
				if set>>g&1 > 0 {
					of = append(of, g)
				}
			}
			for many := 2; many <= mostFew; many++ {
				offer(of, many)
			}
		}
		return out
	}
	for _, of := range x.triples(parts) {
		offer(of[:], 2)
	}
	return out
}

// triples lists three groups each of which two lie together in one of some parcels, and the third with one of them in
// another.
func (x *tree) triples(parts []int) [][3]int {
	n := len(x.counts)
	with := make([][]bool, n)
	for g := range with {
		with[g] = make([]bool, n)
	}
	for _, i := range parts {
		for _, g := range x.pool[i].of {
			for _, h := range x.pool[i].of {
				with[g][h] = true
			}
		}
	}
	var out [][3]int
	for a := range n {
		for b := a + 1; b < n; b++ {
			for c := b + 1; c < n; c++ {
				if btoi(with[a][b])+btoi(with[b][c])+btoi(with[a][c]) >= 2 {
					out = append(out, [3]int{a, b, c})
				}
			}
		}
	}
	return out
}
