package dayplan

import (
	"context"

	"solander/packing"
)

// Answer plans, or remembers the answer to the same question.
func (c *Plans) Answer(ctx context.Context, q Question) (packing.Plan, error) {
	if known, ok := c.get(q.key); ok {
		return known.plan, known.err
	}
	plan, err := Solve(ctx, q.Whole())
	if ctx.Err() == nil && !Stopped(ctx) {
		c.put(&cachedPlan{q.key, plan, err})
	}
	return plan, err
}

// HeldIn is why a plan of one order sends nothing, with the names that its problem gives; "" when it goes.
func HeldIn(p packing.Problem, plan packing.Plan) string {
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
