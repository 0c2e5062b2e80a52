package planner_test

import (
	"context"
	"encoding/json"
	"testing"

	"solander/internal/brute"
	"solander/packing"
	"solander/packing/check"
	"solander/packing/planner"
)

// sums is what must be equal in any two best plans.
type sums struct {
	Held    int
	Total   int64
	Parcels int
	Days    int
}

func sumsOf(p packing.Plan) sums {
	s := sums{Held: p.Held, Total: p.Total, Parcels: len(p.Parcels)}
	for _, q := range p.Parcels {
		if q.Arrives.IsZero() {
			s.Days += 100
			continue
		}
		s.Days += q.Arrives.Sub(p.Day)
	}
	return s
}

// Random problems (packing/check tries many more): the plan is as good as the best of all plans, which another hand's enumeration
// finds, and the independent check passes it.
func TestAgainstEveryPlan(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	for seed := range uint64(500) {
		p := brute.Any(20_000 + seed)
		got, err := planner.Plan(context.Background(), p, nil)
		if err != nil {
			t.Fatalf("problem %d: %v", seed, err)
		}
		if err := check.Plan(p, got); err != nil {
			show(t, p, got)
			t.Fatalf("problem %d: the check finds: %v", seed, err)
		}
		want := brute.New(&p).Plan()
		if a, b := sumsOf(got), sumsOf(want); a != b {
			show(t, p, got)
			t.Fatalf("problem %d: planned %+v, the best is %+v", seed, a, b)
		}
	}
}

func show(t *testing.T, p packing.Problem, plan packing.Plan) {
	t.Helper()
	a, _ := json.Marshal(p)
	b, _ := json.Marshal(plan)
	t.Logf("problem %s\nplan %s", a, b)
}
