//go:build unix

package sqlite

import (
	"errors"
	"syscall"
)

// running reports whether a process of that number runs on this machine.
// Source: POSIX.1-2017, kill(): signal 0 looks without sending; EPERM says that it is another user's.
func running(pid int) bool {
	return pid > 0 && !errors.Is(syscall.Kill(pid, 0), syscall.ESRCH)
}
