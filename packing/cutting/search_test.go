package cutting

import (
	"math/rand/v2"
	"slices"
	"testing"
)

// enough tries every choice of lots.
func (v *cover) enough(left, used []int, sheets int) bool {
	if !slices.ContainsFunc(left, func(n int) bool { return n > 0 }) {
		return true
	}
	if sheets == 0 {
		return false
	}
	for _, l := range v.lots {
		if most := v.c.p.stock[l.stock].Count; most > 0 && used[l.stock] == most {
			continue
		}
		rest, more := slices.Clone(left), slices.Clone(used)
		more[l.stock]++
		for _, h := range l.held {
			rest[h.of] = max(0, rest[h.of]-h.count)
		}
		if v.enough(rest, more, sheets-1) {
			return true
		}
	}
	return false
}

// The search over sheets says that so many are enough just when some choice of cuttings is, whatever the cuttings and the
// prices, also where some kind of sheet is scarce.
func TestSearchOverSheetsAgreesWithEveryChoice(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 21))
	yes, no := 0, 0
	for range 20_000 / slow {
		p := &planner{ctx: t.Context(), stock: []Stock{{Count: r.IntN(3)}, {Count: r.IntN(3)}}}
		c := &columns{p: p, worth: make([]int64, 2)}
		for range 3 + r.IntN(6) {
			p.demand = append(p.demand, Piece{Count: 1 + r.IntN(2)})
			c.price = append(c.price, int64(1+r.IntN(3)))
		}
		v := &cover{c: c, left: p.counts(), used: make([]int, 2), failed: map[string]int{}}
		for range 4 + r.IntN(7) {
			counts, worth := make([]int, len(p.demand)), int64(0)
			for i := range counts {
				counts[i] = max(0, r.IntN(4)-1)
				worth += c.price[i] * int64(min(counts[i], p.demand[i].Count))
			}
			stock := r.IntN(2)
			v.lots, c.worth[stock] = append(v.lots, lot{stock: stock, held: heldOf(counts)}), max(c.worth[stock], worth)
		}
		c.worth[0] += int64(r.IntN(2) * r.IntN(20)) // a bound that is too high
		sheets := 2 + r.IntN(4)
		all := make([]part, len(v.lots))
		for i := range all {
			all[i].lot = int32(i)
		}
		want := v.enough(p.counts(), make([]int, 2), sheets)
		if got := v.search(all, c.all(), sheets); got != want {
			t.Fatalf("%+v of %+v, prices %v: %d sheets are enough: %v, not %v", v.lots, p.demand, c.price, sheets, got, want)
		}
		if want {
			yes++
		} else {
			no++
		}
	}
	if yes < 1000/slow || no < 1000/slow {
		t.Errorf("%d are enough, %d are not: too few for a test", yes, no)
	}
}
