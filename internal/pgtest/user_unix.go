//go:build unix

package pgtest

import "syscall"

// attr lets a program run as another user, in a session of its own or not.
func attr(as *account, apart bool) *syscall.SysProcAttr {
	a := &syscall.SysProcAttr{Setsid: apart}
	if as != nil {
		a.Credential = &syscall.Credential{Uid: as.uid, Gid: as.gid}
	}
	return a
}
