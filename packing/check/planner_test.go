package check_test

import (
	"testing"

	"solander/internal/brute"
	"solander/packing"
	"solander/packing/check"
	"solander/packing/planner"
)

// The planner's answer is as good as the best of everything that could be done, and right.
func TestPlannerAgainstTryingEverything(t *testing.T) {
	random(t, problems, func(seed uint64, p *packing.Problem, s *brute.Search) bool {
		plan, err := planner.Plan(t.Context(), *p)
		if err != nil {
			t.Errorf("problem %d: %v", seed, err)
			return false
		}
		best := s.Plan()
		if plan.Held != best.Held || plan.Total != best.Total || len(plan.Parcels) != len(best.Parcels) || days(p, &plan) != days(p, &best) {
			t.Errorf("problem %d: held %d, total %d, parcels %d, days %d; the best is held %d, total %d, parcels %d, days %d", seed,
				plan.Held, plan.Total, len(plan.Parcels), days(p, &plan), best.Held, best.Total, len(best.Parcels), days(p, &best))
			return false
		}
		if err := check.Plan(*p, plan); err != nil {
			t.Errorf("problem %d: %v", seed, err)
			return false
		}
		return true
	})
}

// days is what plan.md, section 1, counts: 100 for a parcel whose service states none.
func days(p *packing.Problem, plan *packing.Plan) int {
	n := 0
	for i := range plan.Parcels {
		if plan.Parcels[i].Arrives.IsZero() {
			n += 100
		} else {
			n += plan.Parcels[i].Arrives.Sub(p.Day)
		}
	}
	return n
}
