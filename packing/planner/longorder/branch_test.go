package longorder_test

import (
	"testing"

	"solander/internal/brute"
	"solander/packing"
	"solander/packing/planner"
	"solander/packing/planner/longorder"
)

// From the worst plan there is, the parting of the plans into kinds alone comes to the best, which is that of the
// exact program, or says that it did not.
func TestMixturesFindTheBest(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	tried, proven := 0, 0
	try := func(name any, p packing.Problem) {
		exact, err := planner.Plan(t.Context(), p, nil)
		if err != nil {
			t.Fatal(err)
		}
		if exact.Held > 0 {
			return
		}
		cost, parcels, low, best, there := longorder.Mixed(t.Context(), &p)
		if !there {
			return
		}
		tried++
		if low > exact.Total || cost < exact.Total {
			t.Errorf("problem %v: the best costs %d, the mixtures find %d and the bound %d", name, exact.Total, cost, low)
		}
		if !best {
			return
		}
		proven++
		if cost != exact.Total || parcels != len(exact.Parcels) {
			t.Errorf("problem %v: %d in %d parcels is called best, %d in %d is", name, cost, parcels, exact.Total, len(exact.Parcels))
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
