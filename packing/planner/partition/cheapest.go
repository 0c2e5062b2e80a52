package partition

import (
	"context"
	"math"
	"math/bits"

	"solander/packing/planner/parcel"
)

// cell is the worth of a split, small enough for a table of many: money, then parcels and days.
type cell struct {
	money int64
	tie   uint64
}

var never = cell{money: math.MaxInt64}

func cellOf(w parcel.Worth) cell { return cell{w.Money, uint64(w.Parcels)<<32 | uint64(w.Days)} }

// cheapest finds the best split when no stock is watched: one number for each set is enough.
func (t *Table) cheapest(ctx context.Context) ([]*Split, bool) {
	single, best, first := make([]cell, t.States), make([]cell, t.States), make([]int32, t.States)
	for i, p := range t.picks {
		single[i] = never
		if len(p) > 0 {
			single[i] = cellOf(p[0].Worth)
		}
	}
	flat := true
	for _, c := range t.o.Counts {
		flat = flat && c == 1
	}
	set, sub := make([]int, len(t.stride)), make([]int, len(t.stride))
	for number := 1; number < t.States; number++ {
		if number&63 == 0 && ctx.Err() != nil {
			return nil, false
		}
		if flat {
			best[number], first[number] = bestOfBits(single, best, number)
		} else {
			best[number], first[number] = t.bestOfCounts(single, best, number, set, sub)
		}
	}
	var out *Split
	for _, e := range t.ends() {
		if best[e.number] == never {
			continue
		}
		t.Able |= e.orders
		n := t.chain(first, e.number)
		n.Held = (t.o.All &^ e.orders).Count()
		if out == nil || n.Worth.Less(out.Worth) {
			out = n
		}
	}
	if out == nil {
		return nil, true
	}
	return []*Split{out}, true
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
func (t *Table) bestOfCounts(single, best []cell, number int, set, sub []int) (cell, int32) {
	low, part := never, number
	first := -1
	for g, c := range t.o.Counts {
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
func (t *Table) chain(first []int32, number int) *Split {
	if number == 0 {
		return &Split{Use: make([]int32, len(t.k.Track))}
	}
	rest := t.chain(first, number-int(first[number]))
	p := &t.picks[first[number]][0]
	return &Split{Worth: p.Worth.Plus(rest.Worth), Pick: p, Rest: rest}
}
