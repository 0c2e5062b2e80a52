package dayplan

import (
	"context"
	"fmt"
	"runtime"
	"sync"
	"sync/atomic"

	"solander/fault"
	"solander/packing"
	"solander/packing/check"
	"solander/packing/planner"
)

// Solve plans and has the plan checked by what shares no code with the planner. A plan that fails the
// check is our own failure: it is not used, and unsound is told of it. A search that ends before ctx does answers with what it found.
func (c *Plans) Solve(ctx context.Context, p packing.Problem) (packing.Plan, error) {
	if err := ctx.Err(); err != nil {
		return packing.Plan{}, err
	}
	if c.Begun != nil {
		defer c.Begun()()
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
		err = fmt.Errorf("plan of %d orders on %s: %w", len(p.Orders), p.Day, err)
		c.unsound(ctx, err)
		return packing.Plan{}, fault.New(fault.Internal, "the plan did not pass the check, so it is not used").ToMend("keep the problem and report it").
			Because(err)
	}
	tellUnlisted(&plan)
	return plan, nil
}

// SideBySide calls f for 0 … n − 1 on as many processors as there are. After a fault, or when ctx ends, no
// more are begun. Faults: that of the least i, else the cause why ctx ended.
func SideBySide(ctx context.Context, n int, f func(i int) error) error {
	var next atomic.Int64
	var failed atomic.Bool
	faults := make([]error, n)
	var wg sync.WaitGroup
	for range min(n, runtime.GOMAXPROCS(0)) {
		wg.Go(func() {
			for !failed.Load() && ctx.Err() == nil {
				i := int(next.Add(1)) - 1
				if i >= n {
					return
				}
				if faults[i] = f(i); faults[i] != nil {
					failed.Store(true)
				}
			}
		})
	}
	wg.Wait()
	for _, err := range faults {
		if err != nil {
			return err
		}
	}
	return context.Cause(ctx)
}
