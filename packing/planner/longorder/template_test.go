package longorder

import (
	"math/rand/v2"
	"testing"

	"solander/internal/brute"
	"solander/packing/planner/parcel"
	"solander/packing/planner/partition"
	"solander/packing/prices"
)

// At any prices no admissible parcel costs less than its sheets' prices and the z that the templates give: the
// bound of long orders rests on this alone.
func TestNoParcelIsBelowItsTemplates(t *testing.T) {
	parcels, close := 0, 0
	for seed := range uint64(600) {
		p := brute.Any(300_000 + seed)
		k := parcel.NewKit(&p)
		r := rand.New(rand.NewPCG(seed, 1))
		for _, o := range k.Orders() {
			d, tab, b := newDual(k, o), partition.NewTable(k, o), gradingOf(k, o).bits
			for range 6 {
				for g := range d.price {
					d.price[g] = r.Int64N(1500) * prices.Scale * r.Int64N(2)
				}
				at := d.evaluate()
				for number := 1; number < tab.States; number++ {
					set := tab.Set(number)
					kind, worth := 0, int64(0)
					for g, n := range set {
						worth += int64(n) * d.price[g]
						if n > 0 && b[g] != 0 {
							kind = 1
						}
					}
					for _, pick := range tab.Single(number, set) {
						left := pick.Money*prices.Scale - worth - at[kind].z
						if left < 0 {
							t.Fatalf("problem %d, order %s, sheets %v: %d, at prices worth %d/%d, is below z = %d", seed, o.ID, set, pick.Money, worth, prices.Scale, at[kind].z)
						}
						if parcels++; left < 20*prices.Scale {
							close++
						}
					}
				}
			}
		}
	}
	if parcels < 5000 || close < parcels/200 {
		t.Errorf("%d parcels, %d of them close to their template", parcels, close)
	}
	t.Logf("%d parcels, %d close", parcels, close)
}
