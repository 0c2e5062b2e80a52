package sqlite

import (
	"io/fs"
	"strings"
	"syscall"
	"testing"
)

// A disk that fails is called so, and is no matter of permissions.
func TestAFailingDiskIsCalledSo(t *testing.T) {
	for cause, says := range map[error]string{syscall.EIO: "the disk failed", syscall.EACCES: "cannot be opened"} {
		err := noFile("studio.db", &fs.PathError{Op: "read", Path: "studio.db", Err: cause})
		if !strings.Contains(err.Error(), says) || strings.Contains(err.Mend, "permissions") != (cause == syscall.EACCES) {
			t.Errorf("%v is told as %v (%s)", cause, err, err.Mend)
		}
	}
}
