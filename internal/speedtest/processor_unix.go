//go:build unix

package speedtest

import (
	"syscall"
	"testing"
	"time"
)

// Processor is the time that the program has had of all processors: on a busy machine it says more than the clock.
func Processor(tb testing.TB) time.Duration {
	tb.Helper()
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		tb.Fatal(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
