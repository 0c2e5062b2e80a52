// Package heuristic finds a good split of an order quickly, and proves nothing: rows of sheets are cut into neighbours, then
// sheets are moved and swapped between two parcels. Column generation (packing/planner/longorder) begins with what it found.
// Money is in minor units.
package heuristic

import (
	"cmp"
	"context"
	"slices"
	"sync"

	"solander/packing/planner/memo"
	"solander/packing/planner/parcel"
	"solander/packing/planner/partition"
)

// blocks is how many pieces a long row is cut into at most, besides where one kind of sheets ends.
const blocks = 40

// search is the search for splits of one order.
type search struct {
	k     *parcel.Kit
	o     *parcel.Order
	known *memo.Parcels
}

func newSearch(k *parcel.Kit, o *parcel.Order) *search { return &search{k, o, memo.New(k, o)} }

// Search looks for a good split of an order with too many sets of sheets: the sheets lie in a row, in several
// orders, and every split into neighbouring blocks is looked at; then sheets are moved from parcel to
// parcel while that saves. Nothing is proven by it.
func Search(ctx context.Context, k *parcel.Kit, o *parcel.Order) []*partition.Split {
	rows := rows(o)
	found, own := make([][]*partition.Split, len(rows)), make([]*search, len(rows))
	var wait sync.WaitGroup
	for i, row := range rows { // side by side: each remembers for itself
		own[i] = newSearch(k, o)
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
	return newSearch(k, o).row(ctx, rows(o)[0])
}

// row finds the best splits of a row of sheets into neighbours.
func (s *search) row(ctx context.Context, row []int) []*partition.Split {
	ends := cutRow(row)
	table := make([][]*partition.Split, len(ends))
	table[len(ends)-1] = []*partition.Split{{Use: make([]int32, len(s.k.Track))}}
	for i := len(ends) - 2; i >= 0; i-- {
		set := make([]int, len(s.o.Groups))
		for j := i + 1; j < len(ends); j++ {
			if ctx.Err() != nil {
				return s.behind(ends, row, table, i)
			}
			for _, g := range row[ends[j-1]:ends[j]] {
				set[g]++
			}
			if len(table[j]) > 0 {
				join(s.k, table, i, j, s.known.Of(set))
			}
		}
	}
	return table[0]
}

// behind finishes a row that was stopped at block i: what lies before goes block by block, or not at all.
func (s *search) behind(ends, row []int, table [][]*partition.Split, i int) []*partition.Split {
	for ; i >= 0; i-- {
		set := make([]int, len(s.o.Groups))
		for _, g := range row[ends[i]:ends[i+1]] {
			set[g]++
		}
		join(s.k, table, i, i+1, s.known.Of(set))
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
	rigid := func(a, b int) int { // those that may be rolled first
		switch x, y := o.Groups[a].First.Roll == nil, o.Groups[b].First.Roll == nil; {
		case x == y:
			return 0
		case x:
			return 1
		}
		return -1
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
