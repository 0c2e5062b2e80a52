package store

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"solander/edition"
	"solander/fault"
	"solander/studio"
)

// readerPlace tells a test binary started anew that it is to look at a studio as a user who may not write it.
const readerPlace = "SOLANDER_TEST_READER"

// nobody is a user without rights of its own on most systems; any number but 0 and that of the tests would do.
const nobody = 65534

// onlyReader does so in the process that was started for it: permission bits do not bind root, so it becomes
// nobody first. It says how many numbers were taken, then what a write is answered, and what the check finds.
func onlyReader() bool {
	place := os.Getenv(readerPlace)
	if place == "" {
		return false
	}
	if err := lookOnly(place); err != nil {
		fmt.Printf("fault %s %v\n", fault.CodeOf(err), err)
		os.Exit(1)
	}
	return true
}

func lookOnly(place string) error {
	if os.Getuid() == 0 {
		if err := errors.Join(syscall.Setgroups(nil), syscall.Setgid(nobody), syscall.Setuid(nobody)); err != nil {
			return err
		}
	}
	s, err := Open(context.Background(), place, Options{There: true})
	if err != nil {
		return err
	}
	return errors.Join(lookAt(s), s.Close())
}

func lookAt(s studio.Store) error {
	err := s.Read(context.Background(), func(tx studio.Tx) error {
		entries, err := tx.Entries(0, 100_000)
		fmt.Printf("entries %d\n", len(entries))
		return err
	})
	if err != nil {
		return err
	}
	err = s.Write(context.Background(), func(tx studio.Tx) error { _, err := tx.SaveWork(edition.Work{Title: "x"}); return err })
	fmt.Printf("write %s %v\n", fault.CodeOf(err), err)
	found, err := s.Integrity(context.Background())
	fmt.Printf("found %d\n", len(found))
	return err
}

// looked runs such a process and returns what it said.
func looked(t *testing.T, place string) string {
	t.Helper()
	for folder := filepath.Dir(place); len(folder) > len(os.TempDir()); folder = filepath.Dir(folder) {
		if info, err := os.Stat(folder); err == nil && info.Mode().Perm()&0o001 == 0 {
			if err := os.Chmod(folder, info.Mode().Perm()|0o011); err != nil { // a way to it
				t.Fatal(err)
			}
		}
	}
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), readerPlace+"="+place)
	cmd.Stderr = os.Stderr
	out, _ := cmd.Output() // how it ended is told by what it said
	return string(out)
}

// TestReadOnly opens a studio that this user may not write: all can be read, each write says why not, and
// nothing is left beside it.
func TestReadOnly(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	for name, bits := range map[string][2]os.FileMode{
		"the file": {0o444, 0o777}, "the folder": {0o666, 0o555}, "both": {0o444, 0o555},
	} {
		t.Run(name, func(t *testing.T) {
			place := filepath.Join(t.TempDir(), "prints", "studio.db")
			atRest(t, place, 3)
			locked(t, place, bits[0], bits[1])
			before := everything(t, filepath.Dir(place))
			out := looked(t, place)
			for _, want := range []string{"entries 3\n", "write refused ", "can only be read here", "give this user the right", "found 0\n"} {
				if !strings.Contains(out, want) {
					t.Errorf("it said %q, want %q in it", out, want)
				}
			}
			for file, data := range everything(t, filepath.Dir(place)) {
				if before[file] != data {
					t.Errorf("%s was changed, or made", file)
				}
			}
		})
	}
}

// atRest makes a studio in a new folder with some numbers taken, and closes it.
func atRest(t *testing.T, place string, n int) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(place), 0o755); err != nil {
		t.Fatal(err)
	}
	stand(t, place)
	s, err := Open(t.Context(), place, Options{})
	for range n {
		if err == nil {
			_, err = take(s)
		}
	}
	if err := closed(s, err); err != nil {
		t.Fatal(err)
	}
}

// locked sets the bits of the studio's files and of their folder, until the test ends.
func locked(t *testing.T, place string, file, folder os.FileMode) {
	t.Helper()
	for name := range everything(t, filepath.Dir(place)) {
		if err := os.Chmod(filepath.Join(filepath.Dir(place), name), file); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Chmod(filepath.Dir(place), folder); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.Chmod(filepath.Dir(place), 0o700) }) // so that it can be removed
}

// TestReadOnlyWithALog holds that the log of a killed program is read as well, or the studio is not opened:
// what was acknowledged is never left out in silence.
func TestReadOnlyWithALog(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	for _, folder := range []os.FileMode{0o777, 0o555} {
		place := filepath.Join(t.TempDir(), "prints", "studio.db")
		atRest(t, place, 0)
		receipts := killed(t, place, 0, true)
		locked(t, place, 0o444, folder)
		out := looked(t, place)
		var n int
		if _, err := fmt.Sscanf(out, "entries %d", &n); err == nil && n >= len(receipts) && strings.Contains(out, "write refused") {
			continue
		}
		if !strings.HasPrefix(out, "fault refused") || !strings.Contains(out, "copy the file and all that stand beside it") {
			t.Errorf("folder %o: %d numbers were acknowledged; it said %q", folder, len(receipts), out)
		}
	}
}

// TestReadOnlyDisk opens a studio on a disk that is mounted for reading alone, as the user of the tests.
func TestReadOnlyDisk(t *testing.T) {
	folder := mounted(t, "tmpfs", 0, "size=8m")
	place := filepath.Join(folder, "studio.db")
	atRest(t, place, 3)
	if err := syscall.Mount("", folder, "", syscall.MS_REMOUNT|syscall.MS_RDONLY, ""); err != nil {
		t.Fatal(err)
	}
	s, err := Open(t.Context(), place, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if n := verified(t, s, nil); n != 3 {
		t.Errorf("%d entries are read, want 3", n)
	}
	if _, err := take(s); !fault.Is(err, fault.Refused) || !strings.Contains(err.Error(), "can only be read here") {
		t.Errorf("a write: %v", err)
	}
	if err := s.Close(); err != nil {
		t.Error(err)
	}
}
