package speedtest

import (
	"context"
	"testing"
	"time"
)

// Late returns what tells how much of the processors the program has had since a context ended: how long a computation goes
// on after it was stopped, whatever else the machine does. It tells nothing while the context lasts.
func Late(ctx context.Context, tb testing.TB) func() time.Duration {
	tb.Helper()
	Processor(tb) // where it cannot be told, the test is left out here
	ended := make(chan time.Duration, 1)
	context.AfterFunc(ctx, func() { ended <- Processor(tb) })
	return func() time.Duration {
		select {
		case at := <-ended:
			return Processor(tb) - at
		default:
			return 0
		}
	}
}
