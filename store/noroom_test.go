//go:build unix

package store

import (
	"os"
	"os/signal"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"solander/fault"
)

// TestNoRoomInTheMidstOfACommit lets the write of the log fail in the midst of COMMIT, by the limit on the size of a file. It is
// said that nothing was changed, and so it is: also for a program that finds the files as they lie there at that moment, as it
// would after the machine failed. The store works on when the disk does.
func TestNoRoomInTheMidstOfACommit(t *testing.T) {
	place := filepath.Join(t.TempDir(), "studio.db")
	s := opened(t, place)
	if err := addWork(t, s); err != nil {
		t.Fatal(err)
	}
	log, err := os.Stat(place + "-wal")
	if err != nil {
		t.Fatal(err)
	}
	signal.Ignore(syscall.SIGXFSZ) // else the process would be ended for it
	defer signal.Reset(syscall.SIGXFSZ)
	var was syscall.Rlimit
	if err := syscall.Getrlimit(syscall.RLIMIT_FSIZE, &was); err != nil {
		t.Fatal(err)
	}
	if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &syscall.Rlimit{Cur: uint64(log.Size()) + 100, Max: was.Max}); err != nil {
		t.Fatal(err)
	}
	failed := addWork(t, s)
	if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &was); err != nil {
		t.Fatal(err)
	}
	if !fault.Is(failed, fault.Refused) || !strings.Contains(failed.Error(), "no room") {
		t.Errorf("a commit that the disk refused answers %v", failed)
	}
	left := filepath.Join(t.TempDir(), "studio.db")
	for _, tail := range []string{"", "-wal"} {
		body, err := os.ReadFile(place + tail)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(left+tail, body, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if n := works(t, opened(t, left)); n != 1 {
		t.Errorf("%d works are found after the machine failed, want 1", n)
	}
	if err := addWork(t, s); err != nil {
		t.Errorf("after the disk is well again: %v", err)
	}
	if n := works(t, s); n != 2 {
		t.Errorf("%d works, want 2", n)
	}
}
