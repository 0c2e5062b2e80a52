// Package longorder plans an order of too many sets of sheets to look at each, and proves a bound for it, by column
// generation (P. C. Gilmore, R. E. Gomory, "A linear programming approach to the cutting stock problem", 1961, from memory).
//
// A first plan comes from rows of sheets cut into neighbours. Then a linear program chooses among the parcels found; its
// prices lead a search for parcels that cost less than their sheets are worth, which is exact: labels over number and mass,
// on templates that no parcel of a kind is below (packing/planner/least), and the parcels themselves where it comes near.
// Diving makes better plans of it; branch and bound over the numbers of parcels of each kind raises the bound. What is not proven when the work is done is said to be open.
//
// Money is in minor units, prices in parts of one (packing/prices). Bounds are whole numbers, reckoned anew from the
// prices as whole parts and rounded to the safe side; floats only lead the search, and are rounded alike on every processor.
package longorder

import (
	"cmp"
	"context"
	"slices"
	"sync"

	"solander/packing/planner/means"
	"solander/packing/planner/parcel"
	"solander/packing/planner/partition"
)

// blocks is how many pieces a long row is cut into at most, besides where one kind of sheets ends.
const blocks = 40

// mostRemembered bounds what is remembered, in groups of sheets: each takes some hundred bytes.
const mostRemembered = 250_000

// memory remembers the parcels of the sets of sheets that were looked at.
type memory struct {
	k    *parcel.Kit
	o    *parcel.Order
	seen map[string][]parcel.Pick
}

func (m *memory) picks(set []int) []parcel.Pick {
	key := keyOf(set)
	if p, ok := m.seen[key]; ok {
		return p
	}
	if len(m.seen)*len(set) > mostRemembered {
		clear(m.seen)
	}
	p := m.k.Picks(m.o, slices.Clone(set))
	m.seen[key] = p
	return p
}

// by remembers the best parcel of a set by one wrap.
func (m *memory) by(set []int, w *means.Wrap) []parcel.Pick {
	key := keyOf(append(slices.Clone(set), w.Index))
	if p, ok := m.seen[key]; ok {
		return p
	}
	if len(m.seen)*len(set) > mostRemembered {
		clear(m.seen)
	}
	var p []parcel.Pick
	if f := m.o.Facts(set); m.o.Suits(w, set, f) {
		set = slices.Clone(set)
		p = m.k.PicksBy(m.o, set, f, m.k.Concerned(m.o, set, f), w, nil)
	}
	m.seen[key] = p
	return p
}

func keyOf(set []int) string {
	key := make([]byte, 0, 2*len(set))
	for _, n := range set {
		key = append(key, byte(n), byte(n>>8))
	}
	return string(key)
}

// Search looks for a good split of an order with too many sets of sheets: the sheets lie in a row, in several
// orders, and every split into neighbouring blocks is looked at; then sheets are moved from parcel to
// parcel while that saves. Nothing is proven by it.
func Search(ctx context.Context, k *parcel.Kit, o *parcel.Order) []*partition.Split {
	rows := rows(o)
	found, own := make([][]*partition.Split, len(rows)), make([]*memory, len(rows))
	var wait sync.WaitGroup
	for i, row := range rows { // side by side: each remembers for itself
		own[i] = &memory{k: k, o: o, seen: map[string][]parcel.Pick{}}
		wait.Go(func() { found[i] = own[i].row(ctx, row) })
	}
	wait.Wait()
	var out []*partition.Split
	for _, list := range found {
		for _, n := range list {
			out = partition.AddToFront(out, n)
		}
	}
	if len(out) == 0 || len(k.Track) > 0 {
		return out
	}
	return []*partition.Split{own[0].improve(ctx, partition.Best(out), mostTries)}
}

// OneRow looks at the splits of an order's sheets in one row alone.
func OneRow(ctx context.Context, k *parcel.Kit, o *parcel.Order) []*partition.Split {
	m := &memory{k: k, o: o, seen: map[string][]parcel.Pick{}}
	return m.row(ctx, rows(o)[0])
}

// row finds the best splits of a row of sheets into neighbours.
func (m *memory) row(ctx context.Context, row []int) []*partition.Split {
	ends := cutRow(row)
	table := make([][]*partition.Split, len(ends))
	table[len(ends)-1] = []*partition.Split{{Use: make([]int32, len(m.k.Track))}}
	for i := len(ends) - 2; i >= 0; i-- {
		set := make([]int, len(m.o.Groups))
		for j := i + 1; j < len(ends); j++ {
			if ctx.Err() != nil {
				return m.behind(ends, row, table, i)
			}
			for _, g := range row[ends[j-1]:ends[j]] {
				set[g]++
			}
			if len(table[j]) > 0 {
				join(m.k, table, i, j, m.picks(set))
			}
		}
	}
	return table[0]
}

// behind finishes a row that was stopped at block i: what lies before goes block by block, or not at all.
func (m *memory) behind(ends, row []int, table [][]*partition.Split, i int) []*partition.Split {
	for ; i >= 0; i-- {
		set := make([]int, len(m.o.Groups))
		for _, g := range row[ends[i]:ends[i+1]] {
			set[g]++
		}
		join(m.k, table, i, i+1, m.picks(set))
	}
	return table[0]
}

// cutRow returns where the blocks of a row begin and end.
func cutRow(row []int) []int {
	size := (len(row) + blocks - 1) / blocks
	ends := []int{0}
	for i := 1; i <= len(row); i++ {
		last := ends[len(ends)-1]
		if i == len(row) || i-last == size || size > 1 && row[i] != row[i-1] {
			ends = append(ends, i)
		}
	}
	return ends
}

// rows returns the group of every copy, in several orders: by size, and by grade and leave to be rolled before
// that.
func rows(o *parcel.Order) [][]int {
	size := func(a, b int) int {
		x, y := o.Groups[a].Leaf, o.Groups[b].Leaf
		return cmp.Or(cmp.Compare(y.Long(), x.Long()), cmp.Compare(y.Short(), x.Short()), cmp.Compare(y.Mass, x.Mass))
	}
	grade := func(a, b int) int { return cmp.Compare(o.Groups[a].First.Grade, o.Groups[b].First.Grade) }
	rigid := func(a, b int) int {
		return cmp.Compare(btoi(o.Groups[a].First.Roll == nil), btoi(o.Groups[b].First.Roll == nil))
	}
	var out [][]int
	for _, by := range []func(a, b int) int{
		size, func(a, b int) int { return cmp.Or(grade(a, b), rigid(a, b), size(a, b)) },
	} {
		groups := make([]int, len(o.Groups))
		for g := range groups {
			groups[g] = g
		}
		slices.SortStableFunc(groups, by)
		var row []int
		for _, g := range groups {
			for range o.Groups[g].Copies {
				row = append(row, g)
			}
		}
		if len(out) == 0 || !slices.Equal(out[0], row) {
			out = append(out, row)
		}
	}
	return out
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

// join puts a parcel of the sheets from i to j before every split of the rest.
func join(k *parcel.Kit, table [][]*partition.Split, i, j int, picks []parcel.Pick) {
	for p := range picks {
		for _, rest := range table[j] {
			n := partition.Split{Worth: picks[p].Worth.Plus(rest.Worth), Pick: &picks[p], Rest: rest}
			if len(k.Track) > 0 {
				var ok bool
				if n.Use, ok = partition.Sum(k, picks[p].Use, rest.Use); !ok {
					continue
				}
			}
			table[i] = partition.AddToFront(table[i], &n)
		}
	}
}
