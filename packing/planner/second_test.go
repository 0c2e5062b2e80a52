package planner_test

import (
	"math"
	"testing"

	"solander/packing"
	"solander/packing/planner"
)

// secondCost is another program for the best split of one order, in another order: it goes through the parcels
// instead of the sets, and lays each on top of everything that is packed already, so that a set is reached by
// its parcels in ascending order of their numbers. Of the planner it takes the single parcels.
func secondCost(columns []planner.Column, counts []int) int64 {
	stride, states := make([]int, len(counts)), 1
	for g, c := range counts {
		stride[g] = states
		states *= c + 1
	}
	cost := make([]int64, states)
	for i := range cost {
		cost[i] = math.MaxInt64
	}
	cost[0] = 0
	for _, c := range columns {
		step := 0
		for g, n := range c.Set {
			step += n * stride[g]
		}
		// Ascending, so that a parcel may be taken again.
		for at := 0; at+step < states; at++ {
			if cost[at] == math.MaxInt64 || !room(at, c.Set, stride, counts) {
				continue
			}
			cost[at+step] = min(cost[at+step], cost[at]+c.Cost)
		}
	}
	return cost[states-1]
}

func room(at int, set, stride, counts []int) bool {
	for g, n := range set {
		if at/stride[g]%(counts[g]+1)+n > counts[g] {
			return false
		}
	}
	return true
}

// Two programs that go another way come to the same sum, also at 13 to 16 sheets.
func TestTwoPrograms(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	for name, p := range map[string]packing.Problem{
		"nine": gallery(9), "ten": gallery(10), "counts": copies(4, 3, 5, 2), "many of two": copies(20, 15),
	} {
		order := planner.Columns(&p)[0]
		if want, got := secondCost(order.Columns, order.Counts), plan(t, p).Total; got != want {
			t.Errorf("%s: %d, the second program finds %d", name, got, want)
		}
	}
	for _, n := range []int{14, 15, 16} {
		p := gallery(n)
		if want, got := secondOfBits(planner.Columns(&p)[0].Columns, n), plan(t, p).Total; got != want {
			t.Errorf("%d different sheets: %d, the second program finds %d", n, got, want)
		}
	}
}

// secondOfBits is the same for sheets that are all different: sets are bit sets, and a parcel is laid on every
// set of the sheets that it does not hold.
func secondOfBits(columns []planner.Column, n int) int64 {
	cost := make([]int64, 1<<n)
	for i := range cost {
		cost[i] = math.MaxInt64
	}
	cost[0] = 0
	for _, c := range columns {
		parcel := 0
		for g, k := range c.Set {
			parcel |= k << g
		}
		others := len(cost) - 1 - parcel
		for at := others; ; at = (at - 1) & others {
			if cost[at] != math.MaxInt64 {
				cost[at|parcel] = min(cost[at|parcel], cost[at]+c.Cost)
			}
			if at == 0 {
				break
			}
		}
	}
	return cost[len(cost)-1]
}
