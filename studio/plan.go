package studio

import (
	"context"

	"solander/calendar"
	"solander/fault"
	"solander/measure"
	"solander/packing"
)

// PlanView is the planner's answer for an order.
type PlanView struct {
	Problem packing.Problem
	Plan    packing.Plan
	Order   OrderView
	Shared  []string // what other orders of the day have to do with it
	Units   measure.System

	left    map[string]int  // pieces of each item on hand, what other orders of the day take of them included
	retired map[string]bool // items no longer used
}

// Plan plans the parcels of an order's prints that are not packed yet, handed over on day: today or
// later, moved to the next working day. An order that may be packed gets what the plan of all orders of
// that day together gives it; the problem then holds only the packaging that is left to it. A print that
// cannot go is told in the plan, with its reason.
// Faults: Invalid when day is past; Missing; Refused when the order is not open, all is packed, or it has no address.
func (s *Studio) Plan(ctx context.Context, orderID int64, day calendar.Day) (PlanView, error) {
	if err := sane("day", day); err != nil {
		return PlanView{}, err
	}
	var v PlanView
	var one question
	var all dayAsk
	err := s.read(ctx, func(t *turn) error {
		if !day.IsZero() && day.Before(t.today) {
			return fault.Invalidf("day", "%s is past: nothing can be handed over then", day).ToMend("give a day from %s on", t.today)
		}
		o, err := t.Order(orderID)
		if err != nil {
			return err
		}
		lines, err := toPack(o)
		if err != nil {
			return err
		}
		if what := o.NoAddress(); what != "" {
			return noAddress(o, what)
		}
		if one, all, err = s.asked(t, o, lines, day); err != nil {
			return err
		}
		v.Units, v.left, v.retired = t.set.Units, all.room.left, all.room.retired
		v.Order, err = t.viewOf(o)
		return err
	})
	if err != nil {
		return v, err
	}
	p, err := s.plans.together(ctx, orderID, one, all)
	if err != nil {
		return v, err
	}
	v.Problem, v.Plan, v.Shared = p.ask.whole(), p.plan, p.shared
	return v, p.err
}

// PlanProblem plans a problem from outside. Faults: Invalid, everything that is wrong with it.
func (s *Studio) PlanProblem(ctx context.Context, p packing.Problem) (packing.Plan, error) {
	return solve(ctx, p)
}

// answer plans, or remembers the answer to the same question.
func (c *planCache) answer(ctx context.Context, q question) (packing.Plan, error) {
	if known, ok := c.get(q.key); ok {
		return known.plan, known.err
	}
	plan, err := solve(ctx, q.whole())
	if ctx.Err() == nil && !stopped(ctx) {
		c.put(&cachedPlan{q.key, plan, err})
	}
	return plan, err
}

// heldIn is why a plan of one order sends nothing, with the names that its problem gives; "" when it goes.
func heldIn(p packing.Problem, plan packing.Plan) string {
	for _, o := range plan.Orders {
		switch {
		case o.Reason != nil:
			return ofPrint(p, o) + p.Told(*o.Reason) + quarrel(o) + bare(p)
		case o.Parcels == 0:
			return "the planner found no way to send it" + bare(p)
		}
	}
	return ""
}

// ofPrint names the print that holds an order of several, before the reason; "" when it is no single one.
func ofPrint(p packing.Problem, o packing.OrderPlan) string {
	w := whyWords{p: &p}
	for _, x := range p.Orders {
		if x.ID == o.ID && len(x.Sheets) > 1 && o.Sheet != "" {
			return w.sheet(o.ID, o.Sheet) + ": "
		}
	}
	return ""
}
