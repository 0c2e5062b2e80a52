package heuristic

import (
	"fmt"
	"slices"
	"testing"

	"solander/internal/brute"
	"solander/packing"
	"solander/packing/planner/parcel"
	"solander/packing/planner/partition"
)

// few is orders of different sheets, few to a parcel, where neighbours are not best, besides small ones of all sorts.
func few() map[string]packing.Problem {
	out := map[string]packing.Problem{}
	for n := 5; n <= 11; n++ {
		for most := 2; most <= 4; most++ {
			p := brute.Gallery(n)
			p.Rules = append(p.Rules, packing.Rule{ID: "few", Then: packing.Then{SheetsMost: &most}})
			out[fmt.Sprintf("%d sheets, at most %d", n, most)] = p
		}
	}
	for seed := range uint64(300) {
		out[fmt.Sprint(seed)] = brute.Any(500_000 + seed)
	}
	return out
}

// What is found is never better than the best of the exact program, nor worse than the neighbours of any row; sheets moved
// make it better, or none would be moved.
func TestFoundIsBetweenARowAndTheBest(t *testing.T) {
	tried, better, best := 0, 0, 0
	for name, p := range few() {
		k := parcel.NewKit(&p)
		for _, o := range k.Orders() {
			found, one := partition.Best(Search(t.Context(), k, o)), partition.Best(OneRow(t.Context(), k, o))
			exact, ok := partition.NewTable(k, o).Solve(t.Context(), func(int) {})
			if !ok {
				t.Fatal("stopped")
			}
			if found == nil {
				continue
			}
			tried++
			wholePlan(t, name, k, o, found)
			least := partition.Best(exact)
			if least == nil || found.Worth.Less(least.Worth) {
				t.Fatalf("%s, order %s: %+v found, %+v is the best there is", name, o.ID, found.Worth, least)
			}
			if found.Worth == least.Worth {
				best++
			}
			if one == nil {
				continue
			}
			if wholePlan(t, name, k, o, one); one.Worth.Less(found.Worth) {
				t.Errorf("%s, order %s: %+v found, one row alone finds %+v", name, o.ID, found.Worth, one.Worth)
			}
			if found.Worth.Less(one.Worth) {
				better++
			}
		}
	}
	if tried < 100 || better < 5 || best < tried*9/10 {
		t.Errorf("%d tried, %d better than one row, %d best: too few", tried, better, best)
	}
	t.Logf("%d tried, %d better than one row, %d best", tried, better, best)
}

// wholePlan looks that a split holds each copy once and costs what its parcels do, asked anew.
func wholePlan(t *testing.T, name string, k *parcel.Kit, o *parcel.Order, n *partition.Split) {
	t.Helper()
	left, sum := slices.Clone(o.Counts), parcel.Worth{}
	for _, p := range n.Parcels() {
		for g, n := range p.Set {
			left[g] -= n
		}
		if list := k.Picks(o, slices.Clone(p.Set)); !slices.ContainsFunc(list, func(q parcel.Pick) bool { return q.Worth == p.Worth }) {
			t.Errorf("%s, order %s: a parcel of %v for %+v, asked anew none costs that", name, o.ID, p.Set, p.Worth)
		}
		sum = sum.Plus(p.Worth)
	}
	if sum != n.Worth || slices.ContainsFunc(left, func(n int) bool { return n != 0 }) {
		t.Errorf("%s, order %s: %+v for parcels of %+v, left over: %v", name, o.ID, n.Worth, sum, left)
	}
}
