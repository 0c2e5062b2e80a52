package planner

import (
	"context"
)

// node is the best way to send a set of sheets: one parcel and the best way to send the rest.
type node struct {
	worth
	use  []int32
	pick *pick
	rest *node
}

// table solves one order: sets of its sheets are vectors of counts, numbered in mixed radix.
type table struct {
	k      *kit
	o      *order
	stride []int
	states int
	picks  [][]pick  // for each set, the best single parcels
	asked  []bool    // whether picks was computed
	best   [][]*node // for each set, the best splits
}

// states returns how many sets of sheets an order has, or most+1 when more.
func (o *order) states(most int) int {
	n := 1
	for _, c := range o.counts {
		if n *= c + 1; n > most {
			return most + 1
		}
	}
	return n
}

func (k *kit) newTable(o *order) *table {
	t := &table{k: k, o: o, states: 1}
	for _, c := range o.counts {
		t.stride = append(t.stride, t.states)
		t.states *= c + 1
	}
	t.picks, t.asked, t.best = make([][]pick, t.states), make([]bool, t.states), make([][]*node, t.states)
	t.best[0] = []*node{{use: make([]int32, len(k.track))}}
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

// solve fills the table. The first parcel of a set always holds one of its first sheets, so that no
// split is looked at twice. It returns false when the context was cancelled.
func (t *table) solve(ctx context.Context) bool {
	for number := 1; number < t.states; number++ {
		if ctx.Err() != nil {
			return false
		}
		t.splits(number)
	}
	return true
}

// splits finds the best splits of one set.
func (t *table) splits(number int) {
	set := t.set(number)
	first := 0
	for set[first] == 0 {
		first++
	}
	sub := append([]int(nil), set...)
	at := number
	for {
		t.try(number, at, sub)
		if at = t.next(sub, set, first, at); at < 0 {
			return
		}
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

// try sends part as the first parcel of a set.
func (t *table) try(number, part int, sub []int) {
	rests := t.best[number-part]
	if len(rests) == 0 {
		return
	}
	picks := t.single(part, sub)
	for i := range picks {
		for _, rest := range rests {
			t.put(number, &picks[i], rest)
		}
	}
}

func (t *table) put(number int, p *pick, rest *node) {
	w := p.worth.plus(rest.worth)
	if len(t.k.track) == 0 {
		if len(t.best[number]) == 0 || w.less(t.best[number][0].worth) {
			t.best[number] = []*node{{worth: w, pick: p, rest: rest}}
		}
		return
	}
	if use, ok := t.k.sum(p.use, rest.use); ok {
		t.best[number] = betterNode(t.best[number], &node{worth: w, use: use, pick: p, rest: rest})
	}
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
