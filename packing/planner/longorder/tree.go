package longorder

import (
	"cmp"
	"context"
	"slices"

	"solander/packing/planner/parcel"
	"solander/packing/prices"
)

// Branch and bound over the linear program. A node's plans are parted by a number that is whole in each of them: of all
// parcels, of a kind of parcels, of those that hold two sheets together (P. H. Vance, C. Barnhart, E. L. Johnson, G. L.
// Nemhauser, "Solving binary cutting stock problems by column generation and branch-and-bound", 1994, from memory).

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
	if x.whole(m); x.pruned(m) {
		return
	}
	r, number := x.question(ctx, m)
	if r == nil {
		x.rest = min(x.rest, m.low)
		return
	}
	for _, part := range parts(m, r, number) {
		x.push(part)
	}
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
			sum += float64(v * float64(r.counted(&x.pool[i])))
		}
	}
	return sum
}

const (
	tries  = 12   // ways to part a node, of those whose number is farthest from whole
	pairs  = 0.3  // how much it matters that two sheets are together in so many parcels
	unsure = 0.05 // of the number of all parcels, which is asked for first
)

// question is the row that parts a node best: whose parts cost most with the parcels known. Nil when every number is whole.
func (x *tree) question(ctx context.Context, m *node) (best *row, number int) {
	type ask struct {
		*row
		down int
		off  float64
	}
	var list []ask
	for i := range x.asked {
		n := x.number(&x.asked[i], m)
		down := int(n + 1e-6)
		off := min(n-float64(down), float64(down+1)-n)
		if i == 0 && off > unsure {
			return &x.asked[i], down
		}
		if off > 1e-3 {
			if x.asked[i].kind == nil {
				off *= pairs
			}
			list = append(list, ask{&x.asked[i], down, off})
		}
	}
	slices.SortStableFunc(list, func(a, b ask) int { return cmp.Compare(b.off, a.off) })
	x.task = m.task
	most, columns := -1.0, x.chosen(m.at)
	for _, a := range list[:min(len(list), tries)] {
		if ctx.Err() != nil {
			break
		}
		score := 1.0
		for _, part := range parts(m, a.row, a.down) {
			x.task = part.task
			score *= max(min(x.solve(x.program(columns)), float64(m.top))-m.value, 0.01)
		}
		if score > most {
			best, number, most = a.row, a.down, score
		}
	}
	return best, number
}

// parts parts a node by a row's number.
func parts(m *node, r *row, number int) [2]*node {
	low, high := *m, *m
	low.far, high.far = false, false
	if r.kind != nil && *r.kind == (kind{}) {
		low.to, high.from = number, number+1
		return [2]*node{&low, &high}
	}
	a, b := *r, *r
	a.limit, b.limit, b.least = number, number+1, true
	low.rows, high.rows = append(slices.Clone(m.rows), a), append(slices.Clone(m.rows), b)
	low.at, high.at = append(slices.Clone(m.at), 0), append(slices.Clone(m.at), 0)
	return [2]*node{&low, &high}
}

// questions lists what may part a node.
func (x *master) questions(k *parcel.Kit) []row {
	n := len(x.o.Counts)
	kinds := x.kinds()
	var out []row
	for i := range kinds {
		out = append(out, row{kind: &kinds[i]})
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
