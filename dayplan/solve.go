package dayplan

import (
	"context"
	"fmt"
	"log/slog"

	"solander/fault"
	"solander/packing"
	"solander/packing/check"
	"solander/packing/planner"
)

// Solve plans and has the plan checked by what shares no code with the planner. A plan that fails the
// check is our own failure: it is not used. A search that ends before ctx does answers with what it found.
func Solve(ctx context.Context, p packing.Problem) (packing.Plan, error) {
	if err := ctx.Err(); err != nil {
		return packing.Plan{}, err
	}
	how := SearchIn(ctx)
	until, release := how.Bounded(ctx)
	defer release()
	var tell func(planner.Progress)
	if how.tell != nil {
		tell = func(at planner.Progress) { how.tell(at.Done, at.All) }
	}
	plan, err := planner.Plan(until, p, tell)
	if err != nil {
		return plan, err
	}
	if err := ctx.Err(); err != nil {
		return packing.Plan{}, err
	}
	if err := check.Plan(p, plan); err != nil {
		slog.ErrorContext(ctx, "a plan did not pass the check", "orders", len(p.Orders), "day", p.Day.String(), "findings", err)
		return packing.Plan{}, fault.New(fault.Internal, "the plan did not pass the check, so it is not used").ToMend("keep the problem and report it").
			Because(fmt.Errorf("plan of %d orders on %s: %w", len(p.Orders), p.Day, err))
	}
	return plan, nil
}
