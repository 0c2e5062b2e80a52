package store

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// A test binary started anew is told by these to open a studio while no file may grow past some bytes, which is to it as a full disk
// (setrlimit, RLIMIT_FSIZE), and to say what it was told.
const (
	narrowPlace  = "SOLANDER_TEST_NARROW"
	narrowBytes  = "SOLANDER_TEST_NARROW_BYTES"
	narrowCopies = "SOLANDER_TEST_NARROW_COPIES"
)

func init() { errands = append(errands, narrow) }

func narrow() bool {
	place := os.Getenv(narrowPlace)
	if place == "" {
		return false
	}
	most, err := strconv.ParseUint(os.Getenv(narrowBytes), 10, 64)
	if err == nil {
		err = syscall.Setrlimit(syscall.RLIMIT_FSIZE, &syscall.Rlimit{Cur: most, Max: most})
	}
	if err != nil {
		fmt.Println("no limit:", err)
		return true
	}
	s, err := Open(context.Background(), place, Options{Copies: os.Getenv(narrowCopies)})
	if err == nil {
		err = s.Close()
	}
	fmt.Println("said:", err)
	return true
}

// TestUpgradeOnAFullDisk opens an older studio where there is no room for the copy, and where there is room for that, but none for the
// upgrade: both times it is refused in plain words, all is as it was, and the copy that became of nothing is gone.
func TestUpgradeOnAFullDisk(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ kind, most, want string }{
		{"sqlite", "150000", "the copy that is made before cannot be written"},
		{"postgres", "1000", "the copy that is made before cannot be written"},
	} {
		t.Run(c.kind, func(t *testing.T) {
			place := ""
			if c.kind == "sqlite" {
				place = olderFile(t, 18)
			} else {
				place = olderOnServer(t, 18)
			}
			before, folder := asItStands(t, c.kind, place), t.TempDir()
			cmd := exec.Command(os.Args[0])
			cmd.Env = append(os.Environ(), narrowPlace+"="+place, narrowBytes+"="+c.most, narrowCopies+"="+folder)
			out, err := cmd.CombinedOutput()
			if err != nil {
				t.Fatalf("%v: %s", err, out)
			}
			for _, want := range []string{"said:", c.want, "nothing was changed", "free as much space", "older version"} {
				if !strings.Contains(string(out), want) {
					t.Errorf("%q does not say %q", out, want)
				}
			}
			if diff := cmp.Diff(before, asItStands(t, c.kind, place)); diff != "" {
				t.Errorf("(-before +after):\n%s", diff)
			}
			if c.kind == "sqlite" {
				folder = filepath.Dir(place)
			}
			for name := range filesIn(t, folder) {
				if strings.Contains(name, "upgrade") || strings.HasPrefix(name, ".new") {
					t.Errorf("%s is left", name)
				}
			}
			if from, _, copied := openedWith(t, place, Options{Copies: folder}).(*store).Upgraded(); from != 18 || copied == "" {
				t.Errorf("with room, it was brought up to date from form %d, with the copy %q", from, copied)
			}
		})
	}
}
