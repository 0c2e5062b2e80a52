// Package planner solves packing problems: the cheapest admissible way to send every order.
//
// Plan is a pure function: no clock, no disk, no randomness; the same problem gives the same plan, byte for byte, on
// every processor. Each order is planned alone first: by packing/planner/partition, or when it has too many sets of sheets
// by packing/planner/heuristic and from there on by packing/planner/longorder. Orders meet only where packaging is scarce: then
// the splits that each may have are allocated together, pruned by a Lagrangian bound. What is admissible and what is minimised stands in docs/formats.
package planner

import (
	"context"

	"solander/packing"
)

// Plan solves a problem. A cancelled context, or one whose deadline passes, ends the search early, within a few
// hundredths of a second: each order keeps the best plan found so far with a bound that is proven and the status
// not-proven; one without is held with the reason plan.stopped. tell, if not nil, hears how far it has come, for a bar
// on the screen: from any goroutine, one at a time. Faults: Invalid when the problem does not pass packing's checks.
func Plan(ctx context.Context, p packing.Problem, tell func(Progress)) (packing.Plan, error) {
	if err := p.Check(); err != nil {
		return packing.Plan{}, err
	}
	k := newSolver(&p)
	k.meter = newMeter(tell)
	orders := k.Orders()
	answers, above := k.solve(ctx, orders)
	out := k.write(ctx, orders, answers)
	out.Bound += above
	if p.Options.Rejections() > 0 {
		k.conflicts(ctx, out.Orders)
	}
	return out, nil
}
