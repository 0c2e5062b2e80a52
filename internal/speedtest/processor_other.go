//go:build !unix

package speedtest

import (
	"testing"
	"time"
)

// Processor skips what measures: only a system of the Unix kind tells the time of the processor by this call.
func Processor(tb testing.TB) time.Duration {
	tb.Helper()
	tb.Skip("the processor's time is asked for by getrusage, which this system does not have")
	return 0
}
