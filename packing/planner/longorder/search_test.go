package longorder

import (
	"math/rand/v2"
	"testing"

	"solander/internal/brute"
	"solander/packing/planner/least"
	"solander/packing/planner/parcel"
	"solander/packing/planner/partition"
)

// At any prices, of sheets, of parcels that hold some of them, and of three of them together, the search's least is no
// more than what any admissible parcel costs beyond its worth, and nearly always just that: the bound of long orders rests
// on this alone.
func TestNoParcelIsBelowTheSearch(t *testing.T) {
	tried, exact := 0, 0
	for seed := range uint64(600) {
		p := brute.Any(300_000 + seed)
		k := parcel.NewKit(&p)
		r := rand.New(rand.NewPCG(seed, 1))
		for _, o := range k.Orders() {
			tab := partition.NewTable(k, o)
			x := newMaster(k, o, least.Templates(k, o), &partition.Split{})
			x.counts, x.top, x.to, x.steps = o.Counts, 1<<30, o.Total, walkSteps
			for range 6 {
				at := x.anyPrices(r)
				worth := x.set(at)
				if worth != 0 {
					t.Fatal("a parcel is worth something by itself")
				}
				limit := int64(1) << 40
				if r.IntN(2) == 0 {
					limit = 0
				}
				found := int64(1) << 60
				least := x.search(limit, func(p *parcel.Pick) { found = min(found, beyondWorth(x, p)) })
				low := limit
				for number := 1; number < tab.States; number++ {
					for _, w := range k.Wraps {
						for _, pick := range x.parcels.By(tab.Set(number), w) {
							low = min(low, beyondWorth(x, &pick))
						}
					}
				}
				if low < least {
					t.Fatalf("problem %d, order %s: a parcel at %d, the search says none below %d", seed, o.ID, low, least)
				}
				if tried++; low == least && (found == low || low == limit) {
					exact++
				}
			}
		}
	}
	if tried < 3000 || exact < tried*9/10 {
		t.Errorf("%d searches, %d of them exact", tried, exact)
	}
	t.Logf("%d searches, %d exact", tried, exact)
}

// anyPrices makes rows and prices of all sorts.
func (x *master) anyPrices(r *rand.Rand) []float64 {
	n, kinds := len(x.counts), x.kinds()
	x.rows = nil
	at := make([]float64, n+2)
	for g := range n {
		at[g] = float64(r.Int64N(1500) * r.Int64N(2))
	}
	for range r.IntN(4) {
		row := row{many: 1 + r.IntN(5), limit: 1, least: r.IntN(2) == 0}
		for g := range n {
			if r.IntN(2) == 0 {
				row.of = append(row.of, g)
			}
		}
		price := float64(r.Int64N(400))
		if !row.least {
			price = -price
		}
		if r.IntN(2) == 0 {
			row.kind, row.of, row.many = &kinds[r.IntN(len(kinds))], nil, 0
		}
		x.rows, at = append(x.rows, row), append(at, price)
	}
	return at
}

func beyondWorth(x *master, p *parcel.Pick) int64 {
	c := x.column(p)
	return x.beyond(&c)
}
