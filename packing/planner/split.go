package planner

import (
	"cmp"
	"context"
	"slices"
)

// node is the best way to send a set of sheets: one parcel and the best way to send the rest.
type node struct {
	worth
	use  []int32
	pick *pick
	rest *node
}

// table solves one order: sets of its sheets are vectors of counts, numbered in mixed radix, the first
// group counting most.
type table struct {
	k      *kit
	o      *order
	stride []int
	states int
	picks  [][]pick // for each set, the best single parcels
	asked  []bool   // whether picks was computed
	able   members  // those that can be sent, alone or with others
}

func (k *kit) newTable(o *order) *table {
	t := &table{k: k, o: o, states: 1, stride: make([]int, len(o.counts))}
	for g := len(o.counts) - 1; g >= 0; g-- {
		t.stride[g] = t.states
		t.states *= o.counts[g] + 1
	}
	t.picks, t.asked = make([][]pick, t.states), make([]bool, t.states)
	return t
}

// set returns the vector of a number.
func (t *table) set(number int) []int {
	out := make([]int, len(t.o.counts))
	for g, c := range t.o.counts {
		out[g] = number / t.stride[g] % (c + 1)
	}
	return out
}

func (t *table) single(number int, set []int) []pick {
	if !t.asked[number] {
		t.asked[number] = true
		t.picks[number] = t.k.picks(t.o, append([]int(nil), set...))
	}
	return t.picks[number]
}

// fill asks for the parcels of every set, on every processor; false when the context was cancelled.
func (t *table) fill(ctx context.Context, tell func(steps int)) bool {
	return each(ctx, t.states-1, tell, func(i int) { t.single(i+1, t.set(i+1)) })
}

// solve returns the best splits of the order, or of as many of its members as can be sent; false when the context was cancelled. The first
// parcel of a set always holds one of its first sheets, so that no split is looked at twice.
func (t *table) solve(ctx context.Context, tell func(steps int)) ([]*node, bool) {
	if !t.fill(ctx, tell) {
		return nil, false
	}
	if len(t.k.track) == 0 {
		return t.cheapest(ctx)
	}
	return t.pareto(ctx)
}

// pareto keeps, for each set, the best split for each use of watched stock.
func (t *table) pareto(ctx context.Context) ([]*node, bool) {
	best := make([][]*node, t.states)
	best[0] = []*node{{use: make([]int32, len(t.k.track))}}
	for number := 1; number < t.states; number++ {
		if ctx.Err() != nil {
			return nil, false
		}
		t.parts(number, func(part int) {
			for i := range t.picks[part] {
				p := &t.picks[part][i]
				for _, rest := range best[number-part] {
					if use, ok := t.k.sum(p.use, rest.use); ok {
						best[number] = betterNode(best[number], &node{worth: p.worth.plus(rest.worth), use: use, pick: p, rest: rest})
					}
				}
			}
		})
	}
	return t.choices(best), true
}

// choices are the best splits that send some members and hold the others, for each use of watched stock.
func (t *table) choices(best [][]*node) []*node {
	var out []*node
	for _, e := range t.ends() {
		if len(best[e.number]) > 0 {
			t.able |= e.orders
		}
		if len(t.o.members) == 1 {
			return best[e.number]
		}
		held := (t.o.all &^ e.orders).count()
		for _, n := range best[e.number] {
			with := *n
			with.held = held
			out = betterNode(out, &with)
		}
	}
	return out
}

// parts calls do with each part of a set that holds one of its first sheets, the largest first.
func (t *table) parts(number int, do func(part int)) {
	set := t.set(number)
	first := 0
	for set[first] == 0 {
		first++
	}
	sub := append([]int(nil), set...)
	for at := number; at >= 0; at = t.next(sub, set, first, at) {
		do(at)
	}
}

// next steps to the next smaller part of set that still holds one of its first sheets, or returns -1.
func (t *table) next(sub, set []int, first, at int) int {
	for g := len(sub) - 1; g >= first; g-- {
		least := 0
		if g == first {
			least = 1
		}
		if sub[g] > least {
			sub[g]--
			return at - t.stride[g]
		}
		at += (set[g] - sub[g]) * t.stride[g]
		sub[g] = set[g]
	}
	return -1
}

// sum adds uses of watched items, or reports that the stock does not suffice.
func (k *kit) sum(a, b []int32) ([]int32, bool) {
	out := make([]int32, len(k.track))
	for i, t := range k.track {
		out[i] = a[i] + b[i]
		if int(out[i]) > *t.Stock {
			return nil, false
		}
	}
	return out, true
}

func betterNode(list []*node, n *node) []*node {
	for _, b := range list {
		if !n.worth.less(b.worth) && noMore(b.use, n.use) {
			return list
		}
	}
	out := list[:0]
	for _, b := range list {
		if b.worth.less(n.worth) || !noMore(n.use, b.use) {
			out = append(out, b)
		}
	}
	return append(out, n)
}

// parcels returns the picks of a split in order.
func (n *node) parcels() []*pick {
	var out []*pick
	for ; n != nil && n.pick != nil; n = n.rest {
		out = append(out, n.pick)
	}
	return out
}

// small is how many states an order may have that is solved at once: no plan is kept ready for the case that
// the computation is stopped.
const small = 512

func best(list []*node) *node {
	var b *node
	for _, n := range list {
		if b == nil || n.worth.less(b.worth) {
			b = n
		}
	}
	return b
}

// sent are the members whose sheets are in a split: each is sent whole or held.
func (o *order) sent(n *node) members {
	var out members
	for _, p := range n.parcels() {
		for g, copies := range p.set {
			if copies > 0 {
				out |= 1 << o.groups[g].member
			}
		}
	}
	return out
}

// end is a set of sheets with which an order may end: all those of some of its members, when the others are held.
type end struct {
	orders members
	number int // of the set of sheets
}

// ends lists them, those that hold fewest first; of equal ones those that send the first orders.
func (t *table) ends() []end {
	var out []end
	for some := t.o.all; some > 0; some = (some - 1) & t.o.all {
		e := end{orders: some}
		for g, n := range t.o.counts {
			if some.has(t.o.groups[g].member) {
				e.number += n * t.stride[g]
			}
		}
		out = append(out, e)
	}
	slices.SortFunc(out, func(a, b end) int {
		return cmp.Or(b.orders.count()-a.orders.count(), cmp.Compare(a.orders, b.orders))
	})
	return out
}

// impossible returns the first group of a member of which no admissible parcel can hold a sheet, or -1.
func (t *table) impossible(member int) int {
	able := make([]bool, len(t.o.groups))
	for number := 1; number < t.states; number++ {
		set := t.set(number)
		if len(t.single(number, set)) == 0 {
			continue
		}
		for g, n := range set {
			able[g] = able[g] || n > 0
		}
	}
	for g, ok := range able {
		if !ok && t.o.groups[g].member == member {
			return g
		}
	}
	return -1
}

// leastCost is a proven lower bound for an order: the cheapest postage and work for as many parcels as
// it needs at least.
func (k *kit) leastCost(o *order) int64 {
	low := int64(-1)
	for _, of := range o.way.offers {
		if low < 0 || of.low < low {
			low = of.low
		}
	}
	most, minutes, each := 0, -1, -1
	for _, w := range k.wraps {
		if w.Most == 0 {
			most = o.total
		}
		most = max(most, w.Most)
		if minutes < 0 || w.Minutes < minutes {
			minutes = w.Minutes
		}
		if each < 0 || w.MinutesPerSheet < each {
			each = w.MinutesPerSheet
		}
	}
	if low < 0 || most == 0 {
		return 0
	}
	parcels := int64((o.total + most - 1) / most)
	wage := k.p.Options.MinuteWage
	return parcels*(low+int64(minutes)*wage) + int64(each)*wage*int64(o.total)
}
