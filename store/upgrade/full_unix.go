//go:build unix

package upgrade

import (
	"errors"
	"syscall"
)

// full reports whether the system refused to write for want of room, or past a limit that is set for this user.
func full(err error) bool {
	return errors.Is(err, syscall.ENOSPC) || errors.Is(err, syscall.EDQUOT) || errors.Is(err, syscall.EFBIG)
}
