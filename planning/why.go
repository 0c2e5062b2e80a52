package planning

import (
	"solander/dayplan"
)

// Why puts the plan of an order into words.
func (v PlanView) Why() dayplan.Why {
	w := dayplan.WhyPlan(v.Problem, v.Plan, v.Units)
	w.Shared = v.Shared
	return w
}
