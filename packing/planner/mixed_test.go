package planner_test

import (
	"testing"

	"solander/internal/brute/mix"
)

// Problems of every two and three features of the format: the planner, every plan tried and the check agree.
// packing/check tries many more.
func TestMixedAgainstEveryPlan(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	sent, mats := 0, 0
	for seed := range uint64(400) {
		p := mix.Mixed(900_000 + seed)
		got := bestOf(t, p, seed)
		sent += len(p.Orders) - got.Held
		for i := range got.Parcels {
			mats += btoi(got.Parcels[i].Mat != nil)
		}
	}
	if sent < 200 || mats < 5 {
		t.Errorf("%d orders are sent, %d parcels with sheets side by side: too few of a kind", sent, mats)
	}
}
