package planner

import (
	"context"
	"math"
	"math/bits"
)

// cell is the worth of a split, small enough for a table of many: money, then parcels and days.
type cell struct {
	money int64
	tie   uint64
}

var never = cell{money: math.MaxInt64}

func (w worth) cell() cell { return cell{w.money, uint64(w.parcels)<<32 | uint64(w.days)} }

// cheapest finds the best split when no stock is watched: one number for each set is enough.
func (t *table) cheapest(ctx context.Context) ([]*node, bool) {
	single, best, first := make([]cell, t.states), make([]cell, t.states), make([]int32, t.states)
	for i, p := range t.picks {
		single[i] = never
		if len(p) > 0 {
			single[i] = p[0].worth.cell()
		}
	}
	flat := true
	for _, c := range t.o.counts {
		flat = flat && c == 1
	}
	set, sub := make([]int, len(t.stride)), make([]int, len(t.stride))
	for number := 1; number < t.states; number++ {
		if number&63 == 0 && ctx.Err() != nil {
			return nil, false
		}
		if flat {
			best[number], first[number] = bestOfBits(single, best, number)
		} else {
			best[number], first[number] = t.bestOfCounts(single, best, number, set, sub)
		}
	}
	var out *node
	for _, e := range t.ends() {
		if best[e.number] == never {
			continue
		}
		t.able |= e.orders
		n := t.chain(first, e.number)
		n.held = (t.o.all &^ e.orders).count()
		if out == nil || n.worth.less(out.worth) {
			out = n
		}
	}
	if out == nil {
		return nil, true
	}
	return []*node{out}, true
}

// bestOfBits looks at the parts of a set of sheets none of which is there twice: sets are bit sets then.
func bestOfBits(single, best []cell, number int) (cell, int32) {
	low, at := never, number
	high := 1 << (bits.Len(uint(number)) - 1)
	rest := number ^ high
	for s := rest; ; s = (s - 1) & rest {
		a, b := &single[s|high], &best[rest^s]
		if a.money != math.MaxInt64 && b.money != math.MaxInt64 {
			if m := a.money + b.money; m < low.money || m == low.money && a.tie+b.tie < low.tie {
				low, at = cell{m, a.tie + b.tie}, s|high
			}
		}
		if s == 0 {
			return low, int32(at)
		}
	}
}

// bestOfCounts does the same for counts; set and sub are scratch.
func (t *table) bestOfCounts(single, best []cell, number int, set, sub []int) (cell, int32) {
	low, part := never, number
	first := -1
	for g, c := range t.o.counts {
		set[g] = number / t.stride[g] % (c + 1)
		sub[g] = set[g]
		if first < 0 && set[g] > 0 {
			first = g
		}
	}
	last, step := len(set)-1, t.stride[len(set)-1] // the last group steps by 1
	for at := number; at >= 0; at = t.next(sub, set, first, at) {
		least := 0
		if first == last {
			least = 1
		}
		for {
			a, b := &single[at], &best[number-at]
			if a.money != math.MaxInt64 && b.money != math.MaxInt64 {
				if m := a.money + b.money; m < low.money || m == low.money && a.tie+b.tie < low.tie {
					low, part = cell{m, a.tie + b.tie}, at
				}
			}
			if sub[last] == least {
				break
			}
			sub[last]--
			at -= step
		}
	}
	return low, int32(part)
}

// chain builds the split of a set from the first parcels found.
func (t *table) chain(first []int32, number int) *node {
	if number == 0 {
		return &node{use: make([]int32, len(t.k.track))}
	}
	rest := t.chain(first, number-int(first[number]))
	p := &t.picks[first[number]][0]
	return &node{worth: p.worth.plus(rest.worth), pick: p, rest: rest}
}
