package studio

import (
	"context"

	"solander/calendar"
	"solander/packing"
)

// PlanView is the planner's answer for an order.
type PlanView struct {
	Problem packing.Problem
	Plan    packing.Plan
	Order   OrderView
}

// Plan plans the parcels of an order's prints that are not packed yet, handed over on day: today or
// later, moved to the next working day. A print that cannot go is told in the plan, with its reason.
// Faults: Missing, Refused when the order is not open or all is packed.
func (s *Studio) Plan(ctx context.Context, orderID int64, day calendar.Day) (PlanView, error) {
	if err := sane("day", day); err != nil {
		return PlanView{}, err
	}
	var v PlanView
	var q question
	err := s.read(ctx, func(t *turn) error {
		o, err := t.Order(orderID)
		if err != nil {
			return err
		}
		lines, err := toPack(o)
		if err != nil {
			return err
		}
		r, err := s.stockroom(t)
		if err != nil {
			return err
		}
		if q, err = t.question(r, o, lines, t.handOverDay(day)); err != nil {
			return err
		}
		v.Order, err = t.viewOf(o)
		return err
	})
	if err != nil {
		return v, err
	}
	v.Problem = q.problem
	v.Plan, err = s.answer(ctx, q)
	return v, err
}

// PlanProblem plans a problem from outside. Faults: Invalid, everything that is wrong with it.
func (s *Studio) PlanProblem(ctx context.Context, p packing.Problem) (packing.Plan, error) {
	return solve(ctx, p)
}

// answer plans, or remembers the answer to the same question.
func (s *Studio) answer(ctx context.Context, q question) (packing.Plan, error) {
	if known, ok := s.plans.get(q.key); ok {
		return known.plan, known.err
	}
	plan, err := solve(ctx, q.problem)
	if ctx.Err() == nil {
		s.plans.put(q.key, cachedPlan{plan, err})
	}
	return plan, err
}

// heldReason is why a plan of one order sends nothing; "" when it goes.
func heldReason(plan packing.Plan) string {
	for _, o := range plan.Orders {
		switch {
		case o.Reason != nil:
			return o.Reason.Text
		case o.Parcels == 0:
			return "the planner found no way to send it"
		}
	}
	return ""
}
