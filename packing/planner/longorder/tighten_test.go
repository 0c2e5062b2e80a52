package longorder_test

import (
	"testing"

	"solander/internal/brute"
	"solander/packing"
	"solander/packing/planner"
	"solander/packing/planner/longorder"
	"solander/packing/planner/parcel"
	"solander/packing/planner/partition"
)

// alone is the worst plan there is, each copy in a parcel of its own; nil when some copy cannot go so.
func alone(k *parcel.Kit, o *parcel.Order) *partition.Split {
	n := &partition.Split{}
	for g, copies := range o.Counts {
		for range copies {
			set := make([]int, len(o.Counts))
			set[g] = 1
			list := k.Picks(o, set)
			if len(list) == 0 {
				return nil
			}
			n = &partition.Split{Worth: list[0].Worth.Plus(n.Worth), Pick: &list[0], Rest: n}
		}
	}
	return n
}

// From the worst plan there is, column generation and the tree alone come to the best, which is that of the exact
// program, or say that they did not.
func TestTheTreeFindsTheBest(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	tried, proven := 0, 0
	try := func(name any, p packing.Problem) {
		exact, err := planner.Plan(t.Context(), p, nil)
		if err != nil {
			t.Fatal(err)
		}
		k := parcel.NewKit(&p)
		o := k.Orders()[0]
		worst := alone(k, o)
		if exact.Held > 0 || worst == nil {
			return
		}
		tried++
		got, low, best := longorder.Tighten(t.Context(), k, o, worst)
		if low > exact.Total || got.Money < exact.Total {
			t.Errorf("problem %v: the best costs %d, the tree finds %d and the bound %d", name, exact.Total, got.Money, low)
		}
		if !best {
			return
		}
		proven++
		if got.Money != exact.Total || got.Worth.Parcels != len(exact.Parcels) {
			t.Errorf("problem %v: %d in %d parcels is called best, %d in %d is", name, got.Money, got.Worth.Parcels, exact.Total, len(exact.Parcels))
		}
	}
	for seed := range uint64(600) {
		p := brute.Random(80_000 + seed)
		p.Orders = p.Orders[:1]
		for i := range p.Shelf {
			p.Shelf[i].Stock = nil
		}
		try(seed, p)
	}
	for _, n := range []int{3, 4, 5, 6, 7, 8} {
		try(n, brute.Gallery(n))
	}
	try("counts", brute.Copies(2, 1, 3))
	if tried < 200 || proven < tried/2 {
		t.Errorf("%d tried, %d proven: too few", tried, proven)
	}
	t.Logf("%d tried, %d proven", tried, proven)
}
