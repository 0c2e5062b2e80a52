package planner_test

import (
	"encoding/json"
	"testing"

	"solander/internal/brute"
	"solander/packing"
	"solander/packing/check"
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
		bestOf(t, p, seed)
	}
}

// bestOf plans a problem, and fails when the check refuses the plan or it is not as good as the best of all plans.
func bestOf(t *testing.T, p packing.Problem, seed uint64) packing.Plan {
	t.Helper()
	got := plan(t, p)
	if err := check.Plan(p, got); err != nil {
		show(t, p, got)
		t.Fatalf("problem %d: the check finds: %v", seed, err)
	}
	if a, b := sumsOf(got), sumsOf(brute.New(&p).Plan()); a != b {
		show(t, p, got)
		t.Fatalf("problem %d: planned %+v, the best is %+v", seed, a, b)
	}
	return got
}

func show(t *testing.T, p packing.Problem, plan packing.Plan) {
	t.Helper()
	a, _ := json.Marshal(p)
	b, _ := json.Marshal(plan)
	t.Logf("problem %s\nplan %s", a, b)
}
