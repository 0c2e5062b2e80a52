package longorder

import (
	"cmp"
	"container/heap"
	"context"
	"slices"

	"solander/packing/planner/parcel"
	"solander/packing/prices"
)

// The bound of a long order, raised further by branch and bound. Each parcel of a plan is of one template and one step
// of its table: a slot. The bound by prices lets a parcel be a bit of one slot and a bit of another; so the slots are
// given to one parcel after the other, as a tree, each node with prices of its own. What a node proves holds
// for every plan with its slots, and the least over the nodes that are left holds for the order.
//
// Slots that cannot be in a plan cheaper than the one known are left out: by the prices found, such a plan would
// cost as much.

// slot is a template at one step of its table: a parcel of it costs base at least, in parts of a minor unit, and its
// sheets weigh free at most.
type slot struct {
	t    *template
	r    *ranking
	base int64
	free int64
	// Cover is bought by one of these steps of its table, from and to included.
	from, to int
	step     int     // of cover, at the present prices
	at       optimum // at the present prices
}

// node is one of branch and bound: some parcels have their slot, the others may take any slot from a place in the list on.
type node struct {
	open   [2]int // parcels without a slot, of each kind
	from   [2]int
	slots  []*slot
	prices []float64
	low    int64 // no such plan costs less, in parts of a minor unit
	root   *roots
	age    int
	sheets int // that have been given a slot, or refused one
}

// roots is what the nodes of one pair of numbers of parcels share.
type roots struct {
	slots [2][]*slot
	used  []*ranking
}

// branching is the search.
type branching struct {
	d         *dual
	incumbent parcel.Worth // of the best plan known
	top       int64        // its cost
	nodes     queue
	work      int
	age       int
	done      int64 // the least bound of what cannot be divided further, in parts
	// try is told of the sets of sheets of a plan that looks good, one set for each parcel; it returns the worth of
	// the best plan known then.
	try     func(sets [][]int) parcel.Worth
	scratch []*ranking
}

// What bounds the work on the tree, so that it does not depend on the clock.
const (
	branchWork   = 20_000_000
	branchFirst  = 80 // steps at the root of a pair
	branchSteps  = 24 // at a node
	branchRounds = 8  // of as many steps each, where all slots are given
)

// branch raises the bound of an order, of which a plan is known, by branch and bound. It also reports whether no
// plan is better in cost, nor as good and of fewer parcels.
func (d *dual) branch(ctx context.Context, best parcel.Worth, start []float64, try func(sets [][]int) parcel.Worth) (int64, bool) {
	x := &branching{d: d, incumbent: best, top: best.Money, done: 1 << 62, try: try}
	rest := int64(1) << 62
	for p, row := range d.pairs {
		for q := range row {
			if p+q == 0 || p+q >= len(d.low) {
				continue
			}
			m := &node{open: [2]int{q, p}, prices: start, low: (max(row[q], d.low[p+q])-1)*prices.Scale + 1}
			if !x.pruned(m.low, m) {
				x.push(m)
			}
		}
	}
	for p := pairsTo + 1; p < len(d.low); p++ {
		rest = min(rest, d.low[p])
	}
	for len(x.nodes) > 0 && ctx.Err() == nil && x.work < branchWork {
		m := heap.Pop(&x.nodes).(*node)
		if x.pruned(m.low, m) {
			continue
		}
		if prices.Upwards(m.low, prices.Scale) > rest || m.low > x.done {
			heap.Push(&x.nodes, m)
			break // nothing is won any more
		}
		x.divide(ctx, m)
	}
	for _, m := range x.nodes {
		if !x.pruned(m.low, m) {
			x.done = min(x.done, m.low)
		}
	}
	proven := x.done == 1<<62 && rest >= x.top && best.Parcels <= pairsTo
	return min(prices.Upwards(x.done, prices.Scale), rest, x.top), proven
}

// pruned reports that no plan of a node is better than the best known: it costs more, or as much and has no fewer
// parcels.
func (x *branching) pruned(low int64, m *node) bool {
	c := prices.Upwards(low, prices.Scale)
	return c > x.top || c == x.top && m.open[0]+m.open[1]+len(m.slots) >= x.incumbent.Parcels
}

func (x *branching) push(m *node) {
	x.age++
	m.age = x.age
	heap.Push(&x.nodes, m)
}

// divide raises a node's bound and puts its parts in its place.
func (x *branching) divide(ctx context.Context, m *node) {
	if m.root == nil {
		x.begin(ctx, m)
		if x.pruned(m.low, m) {
			return
		}
		x.push(m)
		return
	}
	x.subgradient(ctx, m, branchSteps)
	if x.pruned(m.low, m) {
		return
	}
	if m.open[0]+m.open[1] == 0 {
		x.settle(ctx, m)
		return
	}
	value := x.look(m, m.prices)
	kind := btoi(m.open[1] > 0)
	list := m.root.slots[kind]
	was := x.least(m, kind).at.z
	low := int64(1) << 60
	for i := len(list) - 1; i >= m.from[kind]; i-- {
		s := list[i]
		low = min(low, s.at.z)
		sum := value + s.at.z - was + int64(m.open[kind]-1)*(low-was)
		if x.pruned(sum, m) {
			continue
		}
		c := &node{open: m.open, from: m.from, slots: append(slices.Clone(m.slots), s), prices: m.prices, low: max(m.low, sum), root: m.root}
		c.open[kind]--
		c.from[kind] = i
		x.push(c)
	}
}

// begin finds the slots that a plan of so many parcels cheaper than the best may have.
func (x *branching) begin(ctx context.Context, m *node) {
	m.root = &roots{slots: x.d.allSlots()}
	m.root.collect()
	for range 3 {
		before := m.low
		x.subgradient(ctx, m, branchFirst)
		value := x.look(m, m.prices)
		n := 0
		for kind := range m.root.slots {
			if m.open[kind] == 0 {
				m.root.slots[kind] = nil
				continue
			}
			was := x.least(m, kind).at.z
			m.root.slots[kind] = slices.DeleteFunc(m.root.slots[kind], func(s *slot) bool { return x.pruned(value+s.at.z-was, m) })
			n += len(m.root.slots[kind])
		}
		m.root.collect()
		if ctx.Err() != nil || x.pruned(m.low, m) || m.low-before < prices.Scale {
			break
		}
	}
	for kind := range m.root.slots {
		slices.SortStableFunc(m.root.slots[kind], func(a, b *slot) int { return cmp.Compare(a.at.z, b.at.z) })
	}
}

// collect lists the rankings that the slots need.
func (r *roots) collect() {
	r.used = r.used[:0]
	seen := map[*ranking]bool{}
	for _, list := range r.slots {
		for _, s := range list {
			if !seen[s.r] {
				seen[s.r] = true
				r.used = append(r.used, s.r)
			}
		}
	}
}

// allSlots lists the slots of all templates by kind, without those that another one betters in every respect.
func (d *dual) allSlots() [2][]*slot {
	if d.slots[0] != nil || d.slots[1] != nil {
		return [2][]*slot{slices.Clone(d.slots[0]), slices.Clone(d.slots[1])}
	}
	out := d.everySlot()
	for kind := range out {
		byClass := map[*classes][]*slot{}
		for _, s := range out[kind] {
			byClass[s.t.class] = append(byClass[s.t.class], s)
		}
		out[kind] = slices.DeleteFunc(out[kind], func(s *slot) bool {
			return slices.ContainsFunc(byClass[s.t.class], func(b *slot) bool { return b.betters(s) })
		})
	}
	d.slots = out
	return d.allSlots()
}

// everySlot lists the slots of all templates by kind.
func (d *dual) everySlot() [2][]*slot {
	var out [2][]*slot
	for _, t := range d.list {
		for _, s := range t.steps {
			if free := int64(s.Mass - t.mass); free >= 0 {
				r := d.classes[t.class]
				n := 0
				if t.covered != nil {
					n = len(r.covers[t.covered].steps) - 1
				}
				out[t.kind] = append(out[t.kind], &slot{t: t, r: r, base: (t.fix + s.Price) * prices.Scale, free: free, to: n})
			}
		}
	}
	return out
}

// betters reports that whatever s holds, b holds for no more; of equals neither does, unless b stands before.
func (b *slot) betters(s *slot) bool {
	if b == s || b.t.covered != s.t.covered || b.base > s.base || b.free < s.free || b.t.most < s.t.most {
		return false
	}
	if b.t.thick >= 0 && (s.t.thick < 0 || b.t.thick < s.t.thick) {
		return false
	}
	return b.base < s.base || b.free > s.free || b.t.most > s.t.most || b.t.thick != s.t.thick
}

// reckon finds the least cost less gain of a slot at the present prices.
func (s *slot) reckon() {
	t, r := s.t, s.r
	at := optimum{r.byMass.most(-1), &r.byMass, -1}
	if r.count {
		at = optimum{r.byCount.most(int64(t.most)), &r.byCount, int64(t.most)}
	}
	if t.thick >= 0 {
		if g := r.byThick.most(int64(t.thick)); g < at.z {
			at = optimum{g, &r.byThick, int64(t.thick)}
		}
	}
	if g := r.byMass.most(s.free); g < at.z {
		at = optimum{g, &r.byMass, s.free}
	}
	s.at = optimum{s.base - at.z, at.by, at.limit}
	if t.covered != nil {
		c := r.covers[t.covered]
		less, step, byValue := c.lessOf(at.z, s.from, s.to)
		s.at.z, s.step = s.base+less, step
		if byValue {
			s.at.by, s.at.limit = &c.value, c.steps[step].value
		}
		if c.net != nil {
			if n := c.net.less(r, t, s.free, s.from, s.to); s.base+n.z > s.at.z {
				s.at = optimum{s.base + n.z, n.by, n.limit}
			}
		}
	}
}

// look evaluates a node at some prices: all slots that it may take, and its bound in parts.
func (x *branching) look(m *node, prices []float64) int64 {
	x.d.set(prices, x.top)
	used := m.root.used
	if m.open[0]+m.open[1] == 0 {
		used = x.own(m)
	}
	for _, r := range used {
		x.d.rank(r)
	}
	x.work += len(used) * (40 + 6*len(prices))
	sum := int64(0)
	for g, price := range x.d.price {
		sum += price * int64(x.d.o.Groups[g].Copies)
	}
	for _, s := range m.slots {
		s.reckon()
		sum += s.at.z
	}
	for kind, n := range m.open {
		if n == 0 {
			continue
		}
		for _, s := range m.root.slots[kind][m.from[kind]:] {
			s.reckon()
		}
		x.work += 8 * len(m.root.slots[kind][m.from[kind]:])
		if s := x.least(m, kind); s != nil {
			sum += int64(n) * s.at.z
		} else {
			return 1 << 61 // there is no such plan
		}
	}
	return sum
}

// own lists the rankings of a node's slots.
func (x *branching) own(m *node) []*ranking {
	x.scratch = x.scratch[:0]
	for _, s := range m.slots {
		if !slices.Contains(x.scratch, s.r) {
			x.scratch = append(x.scratch, s.r)
		}
	}
	return x.scratch
}

// least is the slot of the least cost less gain that the open parcels of a kind may take; nil when there is none.
func (x *branching) least(m *node, kind int) *slot {
	var low *slot
	for _, s := range m.root.slots[kind][min(m.from[kind], len(m.root.slots[kind])):] {
		if low == nil || s.at.z < low.at.z {
			low = s
		}
	}
	return low
}

// subgradient raises the bound of a node by steps along what is sent too seldom or too often.
func (x *branching) subgradient(ctx context.Context, m *node, steps int) (share [][]float64) {
	at, best := slices.Clone(m.prices), m.prices
	mark, stay, size := int64(-1)<<60, 0, 1.0
	slope := make([]float64, len(at))
	share = make([][]float64, len(m.slots))
	for i := range share {
		share[i] = make([]float64, len(at))
	}
	for n := range steps {
		if ctx.Err() != nil {
			break
		}
		value := x.look(m, at)
		if value > mark {
			mark, stay = value, 0
			best = slices.Clone(at)
		} else if stay++; stay > 4 {
			size, stay = size/2, 0
			copy(at, best)
		}
		if x.pruned(value, m) || size < 1.0/256 {
			break
		}
		norm := x.slope(m, slope, share, 1/float64(n+1))
		if norm == 0 {
			break
		}
		step := size * max(float64(float64(x.top)*1.005)-float64(float64(value)/prices.Scale), float64(x.top)/2000) / norm
		for g := range at {
			at[g] = max(0, at[g]+float64(step*slope[g]))
		}
	}
	m.prices, m.low = best, max(m.low, mark)
	return share
}

// slope is of each group the copies that are sent too seldom at the present prices; it returns the sum of squares.
// share is moved by so much towards what each slot holds now: what it holds on average is nearly a plan.
func (x *branching) slope(m *node, out []float64, share [][]float64, by float64) float64 {
	counts := x.d.o.Counts
	for g, n := range counts {
		out[g] = float64(n)
	}
	for i, s := range m.slots {
		for g := range share[i] {
			share[i][g] *= 1 - by
		}
		s.at.by.taken(counts, s.at.limit, by, share[i])
		s.at.by.taken(counts, s.at.limit, -1, out)
	}
	for kind, n := range m.open {
		if n > 0 {
			s := x.least(m, kind)
			s.at.by.taken(counts, s.at.limit, -float64(n), out)
		}
	}
	norm := 0.0
	for _, s := range out {
		norm += float64(s * s)
	}
	return norm
}

// queue holds nodes, the lowest bound first; of equals the one with fewer open parcels, then the older.
type queue []*node

func (q queue) Len() int { return len(q) }

func (q queue) Less(i, j int) bool {
	return cmp.Or(cmp.Compare(q[i].low, q[j].low), cmp.Compare(q[i].open[0]+q[i].open[1], q[j].open[0]+q[j].open[1]), cmp.Compare(q[i].age, q[j].age)) < 0
}

func (q queue) Swap(i, j int) { q[i], q[j] = q[j], q[i] }

func (q *queue) Push(m any) { *q = append(*q, m.(*node)) }

func (q *queue) Pop() any {
	old := *q
	m := old[len(old)-1]
	*q = old[:len(old)-1]
	return m
}
