//go:build !unix

package upgrade

import (
	"errors"
	"syscall"
)

// What Windows says of a disk that is full. Source: Microsoft, System Error Codes, ERROR_HANDLE_DISK_FULL and ERROR_DISK_FULL.
const (
	handleDiskFull = syscall.Errno(39)
	diskFull       = syscall.Errno(112)
)

// full reports whether the system refused to write for want of room.
func full(err error) bool { return errors.Is(err, handleDiskFull) || errors.Is(err, diskFull) }
