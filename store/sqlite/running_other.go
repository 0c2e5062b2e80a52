//go:build !unix

package sqlite

import "os"

// running reports whether a process of that number runs on this machine: elsewhere the system finds none
// that has ended.
func running(pid int) bool {
	p, err := os.FindProcess(pid)
	if err != nil {
		return false
	}
	_ = p.Release() // it was looked at, no more
	return true
}
