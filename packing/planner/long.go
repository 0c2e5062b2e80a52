package planner

import (
	"cmp"
	"context"
	"slices"
)

// longest is how many sheets at most the search for long orders puts into one parcel when no wrap says
// otherwise.
const longest = 40

func sortMixes(list []*mix) {
	slices.SortStableFunc(list, func(a, b *mix) int {
		switch {
		case a.worth.less(b.worth):
			return -1
		case b.worth.less(a.worth):
			return 1
		}
		return slices.Compare(a.use, b.use)
	})
}

// long looks for a good split of an order with too many sets of sheets: the sheets lie in a row, the
// largest first, and every split into neighbours is looked at. Nothing is proven by it.
func (k *kit) long(ctx context.Context, o *order) []*node {
	row := o.row()
	most := k.mostSheets(len(row))
	seen := map[string][]pick{}
	table := make([][]*node, len(row)+1)
	table[len(row)] = []*node{{use: make([]int32, len(k.track))}}
	for i := len(row) - 1; i >= 0; i-- {
		set := make([]int, len(o.groups))
		for j := i; j < len(row) && j-i < most; j++ {
			if ctx.Err() != nil {
				return nil
			}
			set[row[j]]++
			if len(table[j+1]) > 0 {
				k.join(table, i, j+1, k.remembered(o, set, seen))
			}
		}
	}
	return table[0]
}

// row returns the group of every copy, largest sheets first.
func (o *order) row() []int {
	groups := make([]int, len(o.groups))
	for g := range groups {
		groups[g] = g
	}
	slices.SortStableFunc(groups, func(a, b int) int {
		x, y := o.groups[a].leaf, o.groups[b].leaf
		return cmp.Or(cmp.Compare(y.Long(), x.Long()), cmp.Compare(y.Short(), x.Short()))
	})
	var row []int
	for _, g := range groups {
		for range o.groups[g].copies {
			row = append(row, g)
		}
	}
	return row
}

func (k *kit) mostSheets(n int) int {
	most := 0
	for _, w := range k.wraps {
		if w.Most == 0 {
			return min(n, longest)
		}
		most = max(most, w.Most)
	}
	return min(n, most)
}

func (k *kit) remembered(o *order, set []int, seen map[string][]pick) []pick {
	key := make([]byte, 0, 2*len(set))
	for _, n := range set {
		key = append(key, byte(n), byte(n>>8))
	}
	if p, ok := seen[string(key)]; ok {
		return p
	}
	p := k.picks(o, slices.Clone(set))
	seen[string(key)] = p
	return p
}

// join puts a parcel of the sheets from i to j before every split of the rest.
func (k *kit) join(table [][]*node, i, j int, picks []pick) {
	for p := range picks {
		for _, rest := range table[j] {
			n := node{worth: picks[p].worth.plus(rest.worth), pick: &picks[p], rest: rest}
			if len(k.track) > 0 {
				var ok bool
				if n.use, ok = k.sum(picks[p].use, rest.use); !ok {
					continue
				}
			}
			table[i] = betterNode(table[i], &n)
		}
	}
}
