// Package partition splits one order into parcels: set partitioning by a dynamic program over the counts of its sheets,
// exact for orders of not too many sets of sheets. Where stock is watched it keeps the Pareto front of the splits over
// worth and what they take. Money is in minor units. What a single parcel costs it asks packing/planner/parcel.
package partition

import (
	"cmp"
	"context"
	"slices"

	"solander/packing/planner/parcel"
)

// Split is the best way to send a set of sheets: one parcel and the best way to send the rest.
type Split struct {
	parcel.Worth
	Use  []int32
	Pick *parcel.Pick
	Rest *Split
}

// Table solves one order: sets of its sheets are vectors of counts, numbered in mixed radix, the first
// group counting most.
type Table struct {
	k      *parcel.Kit
	o      *parcel.Order
	stride []int
	States int
	picks  [][]parcel.Pick // for each set, the best single parcels
	asked  []bool          // whether picks was computed
	Able   parcel.Members  // those that can be sent, alone or with others
}

func NewTable(k *parcel.Kit, o *parcel.Order) *Table {
	t := &Table{k: k, o: o, States: 1, stride: make([]int, len(o.Counts))}
	for g := len(o.Counts) - 1; g >= 0; g-- {
		t.stride[g] = t.States
		t.States *= o.Counts[g] + 1
	}
	t.picks, t.asked = make([][]parcel.Pick, t.States), make([]bool, t.States)
	return t
}

// Set returns the vector of a number.
func (t *Table) Set(number int) []int {
	out := make([]int, len(t.o.Counts))
	for g, c := range t.o.Counts {
		out[g] = number / t.stride[g] % (c + 1)
	}
	return out
}

func (t *Table) Single(number int, set []int) []parcel.Pick {
	if !t.asked[number] {
		t.asked[number] = true
		t.picks[number] = t.k.Picks(t.o, append([]int(nil), set...))
	}
	return t.picks[number]
}

// fill asks for the parcels of every set, on every processor; false when the context was cancelled.
func (t *Table) fill(ctx context.Context, tell func(steps int)) bool {
	return Each(ctx, t.States-1, tell, func(i int) { t.Single(i+1, t.Set(i+1)) })
}

// Solve returns the best splits of the order, or of as many of its members as can be sent; false when the context was
// cancelled. The first parcel of a set always holds one of its first sheets, so that no split is looked at twice.
func (t *Table) Solve(ctx context.Context, tell func(steps int)) ([]*Split, bool) {
	if !t.fill(ctx, tell) {
		return nil, false
	}
	if len(t.k.Track) == 0 {
		return t.cheapest(ctx)
	}
	return t.pareto(ctx)
}

// pareto keeps, for each set, the best split for each use of watched stock.
func (t *Table) pareto(ctx context.Context) ([]*Split, bool) {
	best := make([][]*Split, t.States)
	best[0] = []*Split{{Use: make([]int32, len(t.k.Track))}}
	for number := 1; number < t.States; number++ {
		if ctx.Err() != nil {
			return nil, false
		}
		t.parts(number, func(part int) {
			for i := range t.picks[part] {
				p := &t.picks[part][i]
				for _, rest := range best[number-part] {
					if use, ok := Sum(t.k, p.Use, rest.Use); ok {
						best[number] = AddToFront(best[number], &Split{Worth: p.Worth.Plus(rest.Worth), Use: use, Pick: p, Rest: rest})
					}
				}
			}
		})
	}
	return t.choices(best), true
}

// choices are the best splits that send some members and hold the others, for each use of watched stock.
func (t *Table) choices(best [][]*Split) []*Split {
	var out []*Split
	for _, e := range t.ends() {
		if len(best[e.number]) > 0 {
			t.Able |= e.orders
		}
		if len(t.o.Members) == 1 {
			return best[e.number]
		}
		held := (t.o.All &^ e.orders).Count()
		for _, n := range best[e.number] {
			with := *n
			with.Held = held
			out = AddToFront(out, &with)
		}
	}
	return out
}

// parts calls do with each part of a set that holds one of its first sheets, the largest first.
func (t *Table) parts(number int, do func(part int)) {
	set := t.Set(number)
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
func (t *Table) next(sub, set []int, first, at int) int {
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

// Sum adds uses of watched items, or reports that the stock does not suffice.
func Sum(k *parcel.Kit, a, b []int32) ([]int32, bool) {
	out := make([]int32, len(k.Track))
	for i, t := range k.Track {
		out[i] = a[i] + b[i]
		if int(out[i]) > *t.Stock {
			return nil, false
		}
	}
	return out, true
}

func AddToFront(list []*Split, n *Split) []*Split {
	for _, b := range list {
		if !n.Worth.Less(b.Worth) && parcel.NoMore(b.Use, n.Use) {
			return list
		}
	}
	out := list[:0]
	for _, b := range list {
		if b.Worth.Less(n.Worth) || !parcel.NoMore(n.Use, b.Use) {
			out = append(out, b)
		}
	}
	return append(out, n)
}

// Parcels returns the picks of a split in order.
func (n *Split) Parcels() []*parcel.Pick {
	var out []*parcel.Pick
	for ; n != nil && n.Pick != nil; n = n.Rest {
		out = append(out, n.Pick)
	}
	return out
}

// Small is how many states an order may have that is solved at once: no plan is kept ready for the case that
// the computation is stopped.
const Small = 512

func Best(list []*Split) *Split {
	var b *Split
	for _, n := range list {
		if b == nil || n.Worth.Less(b.Worth) {
			b = n
		}
	}
	return b
}

// Sent are the members whose sheets are in a split: each is sent whole or held.
func Sent(o *parcel.Order, n *Split) parcel.Members {
	var out parcel.Members
	for _, p := range n.Parcels() {
		for g, copies := range p.Set {
			if copies > 0 {
				out |= 1 << o.Groups[g].Member
			}
		}
	}
	return out
}

// end is a set of sheets with which an order may end: all those of some of its members, when the others are held.
type end struct {
	orders parcel.Members
	number int // of the set of sheets
}

// ends lists them, those that hold fewest first; of equal ones those that send the first orders.
func (t *Table) ends() []end {
	var out []end
	for some := t.o.All; some > 0; some = (some - 1) & t.o.All {
		e := end{orders: some}
		for g, n := range t.o.Counts {
			if some.Has(t.o.Groups[g].Member) {
				e.number += n * t.stride[g]
			}
		}
		out = append(out, e)
	}
	slices.SortFunc(out, func(a, b end) int {
		return cmp.Or(b.orders.Count()-a.orders.Count(), cmp.Compare(a.orders, b.orders))
	})
	return out
}

// Impossible returns the first group of a member of which no admissible parcel can hold a sheet, or -1.
func (t *Table) Impossible(member int) int {
	able := make([]bool, len(t.o.Groups))
	for number := 1; number < t.States; number++ {
		set := t.Set(number)
		if len(t.Single(number, set)) == 0 {
			continue
		}
		for g, n := range set {
			able[g] = able[g] || n > 0
		}
	}
	for g, ok := range able {
		if !ok && t.o.Groups[g].Member == member {
			return g
		}
	}
	return -1
}

// LeastCost is a proven lower bound for an order: the cheapest postage and work for as many parcels as
// it needs at least.
func LeastCost(k *parcel.Kit, o *parcel.Order) int64 {
	low := int64(-1)
	for _, of := range o.Way.Offers {
		if low < 0 || of.Low < low {
			low = of.Low
		}
	}
	most, minutes, each := 0, -1, -1
	for _, w := range k.Wraps {
		if w.Most == 0 {
			most = o.Total
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
	parcels := int64((o.Total + most - 1) / most)
	wage := k.P.Options.MinuteWage
	return parcels*(low+int64(minutes)*wage) + int64(each)*wage*int64(o.Total)
}
