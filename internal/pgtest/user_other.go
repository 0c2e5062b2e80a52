//go:build !unix

package pgtest

import "syscall"

// attr is nothing elsewhere: there a program runs as whoever starts it.
func attr(*account, bool) *syscall.SysProcAttr { return nil }
