package partition

import (
	"context"
	"runtime"
	"sync"
	"sync/atomic"
)

// few is how many tasks are not worth a second processor.
const few = 32

// tellEvery is after how many tasks progress is told.
const tellEvery = 64

// Each calls do with 0 to n-1, on every processor; do must write to places of its own alone, so that the
// outcome does not depend on how many there are. tell, if not nil, hears now and then how many more are done;
// it is called by one at a time. It returns false when the context was cancelled before all were done.
func Each(ctx context.Context, n int, tell func(steps int), do func(i int)) bool {
	workers := min(runtime.GOMAXPROCS(0), (n+few-1)/few)
	var next, done atomic.Int64
	var wait sync.WaitGroup
	var telling sync.Mutex
	work := func() {
		for {
			i := int(next.Add(1)) - 1
			if i >= n || ctx.Err() != nil {
				return
			}
			do(i)
			if d := int(done.Add(1)); tell != nil && d%tellEvery == 0 {
				telling.Lock()
				tell(tellEvery)
				telling.Unlock()
			}
		}
	}
	for range workers - 1 {
		wait.Go(work)
	}
	work()
	wait.Wait()
	return int(done.Load()) == n
}
