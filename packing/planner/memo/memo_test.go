package memo

import (
	"reflect"
	"slices"
	"testing"

	"solander/internal/brute"
	"solander/packing/planner/parcel"
	"solander/packing/planner/partition"
)

// What is remembered is what the parcels answer anew, of a set and of a set by one wrap, in either order; and a caller that
// goes on with its set does not change it.
func TestRememberedIsAskedAnew(t *testing.T) {
	tried, held := 0, 0
	for seed := range uint64(300) {
		p := brute.Any(700_000 + seed)
		k := parcel.NewKit(&p)
		for _, o := range k.Orders() {
			m, tab := New(k, o), partition.NewTable(k, o)
			for range 2 {
				for number := 1; number < tab.States; number++ {
					set := tab.Set(number)
					of := m.Of(set)
					if anew := k.Picks(o, tab.Set(number)); !reflect.DeepEqual(of, anew) {
						t.Fatalf("problem %d, order %s, %v: %+v remembered, %+v anew", seed, o.ID, set, of, anew)
					}
					for _, w := range k.Wraps {
						for _, pick := range m.By(set, w) {
							if tried++; pick.Wrap != w || !slices.Equal(pick.Set, tab.Set(number)) {
								t.Fatalf("problem %d, order %s, %v: a parcel of %v by %s", seed, o.ID, set, pick.Set, pick.Wrap.ID)
							}
							if slices.ContainsFunc(of, func(q parcel.Pick) bool { return q.Worth == pick.Worth }) {
								held++
							}
						}
					}
					set[0] = -1
				}
			}
		}
	}
	if tried < 1000 || held < tried/4 {
		t.Errorf("%d parcels by one wrap, %d of them the best of all", tried, held)
	}
	t.Logf("%d parcels by one wrap, %d of them the best of all", tried, held)
}
