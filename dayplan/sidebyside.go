package dayplan

import (
	"context"
	"runtime"
	"sync"
	"sync/atomic"
)

// sideBySide calls f for 0 … n − 1 on as many processors as there are. After a fault, or when ctx ends, no
// more are begun. Faults: that of the least i, else the cause why ctx ended.
func sideBySide(ctx context.Context, n int, f func(i int) error) error {
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
