package planning

import (
	"context"

	"solander/dayplan"
	"solander/packing"
	"solander/packing/planner"
	"solander/studio"
)

// WhyNotProblem forces a choice on every order of a problem from outside: a wrap or shelf item, a
// service or class of service, or both. Faults: Invalid, everything that is wrong with the problem;
// Missing when it does not know the choice.
func WhyNotProblem(ctx context.Context, s *studio.Studio, p packing.Problem, choice, service string) ([]planner.Answer, error) {
	ctx, release := dayplan.SearchIn(ctx).Bounded(ctx)
	defer release()
	var out []planner.Answer
	for _, o := range p.Orders {
		answer, err := planner.WhyNot(ctx, p, o.ID, choice, service)
		if err != nil {
			return nil, err
		}
		out = append(out, answer)
	}
	return out, nil
}
