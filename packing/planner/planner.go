// Package planner solves packing problems: the cheapest admissible way to send every order.
//
// Plan is a pure function: no clock, no disk, no randomness; the same problem gives the same plan. The
// inner question, the cheapest single parcel for given sheets, folds the layers of each wrap from the
// inside out and keeps only what no other choice beats in every respect. The outer question, the cheapest
// split of an order, is a dynamic program over the counts of its sheets. Orders meet only where packaging
// is scarce. What is admissible and what is minimised stands in docs/formats; nothing here may be pruned
// because "more sheets cost more": thresholds and class rules break that.
package planner

import (
	"context"

	"solander/packing"
)

// Plan solves a problem. A cancelled context ends the search early: orders not finished by then are held
// with the reason plan.stopped and the status not-proven. Faults: Invalid when the problem does not pass
// packing's checks.
func Plan(ctx context.Context, p packing.Problem) (packing.Plan, error) {
	if err := p.Check(); err != nil {
		return packing.Plan{}, err
	}
	k := newKit(&p)
	orders := k.orders()
	answers := k.solve(ctx, orders)
	return k.write(ctx, orders, answers), nil
}
