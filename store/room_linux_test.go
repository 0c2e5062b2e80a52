package store

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"

	"solander/edition"
	"solander/fault"
	"solander/studio"
)

// fullPlace tells a test binary started anew that it is to write there until no file may grow any more, then
// to be given room again. The limit on the size of a file (setrlimit, RLIMIT_FSIZE) makes write(2) fail as a
// full disk does, for any user; a real full disk is tried by TestFullDisk.
const (
	fullPlace = "SOLANDER_TEST_FULL"
	fullRoom  = "SOLANDER_TEST_ROOM" // by how many bytes a file may grow; "" = 20 000
)

func init() { errands = append(errands, filler, onlyReader, worker) }

// filler does the work in the process that was started for it: it tells each number that it was given, then
// "no room" with the fault, then "room" and goes on for three numbers more.
func filler() bool {
	place := os.Getenv(fullPlace)
	if place == "" {
		return false
	}
	if err := fill(place); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	return true
}

func fill(place string) error {
	s, err := Open(context.Background(), place, Options{})
	if err != nil {
		return err
	}
	defer s.Close()
	e, err := take(s)
	if err != nil {
		return err
	}
	os.Stdout.WriteString(receipt(e))
	log, err := os.Stat(place + "-wal")
	if err != nil {
		return err
	}
	var was syscall.Rlimit
	if err := syscall.Getrlimit(syscall.RLIMIT_FSIZE, &was); err != nil {
		return err
	}
	limit, room := was, 20_000
	if text := os.Getenv(fullRoom); text != "" {
		if room, err = strconv.Atoi(text); err != nil {
			return err
		}
	}
	limit.Cur = uint64(log.Size()) + uint64(room)
	if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &limit); err != nil {
		return err
	}
	refused := 0
	for range 200 {
		e, err := take(s)
		if err == nil && refused == 0 {
			os.Stdout.WriteString(receipt(e))
			continue
		}
		if err == nil {
			return errors.New("a write was taken without room")
		}
		fmt.Printf("no room: %s %v\n", fault.CodeOf(err), err)
		if refused++; refused == 3 {
			break
		}
	}
	if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &was); err != nil {
		return err
	}
	for range 3 {
		e, err := take(s)
		if err != nil {
			return fmt.Errorf("with room again: %w", err)
		}
		os.Stdout.WriteString(receipt(e))
	}
	return nil
}

// TestNoRoom holds that a commit for which there is no room says so with its mend, that nothing of it is
// kept, and that the program goes on when there is room.
func TestNoRoom(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	place := filepath.Join(t.TempDir(), "studio.db")
	stand(t, place)
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), fullPlace+"="+place)
	var failed strings.Builder
	cmd.Stderr = &failed
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%v: %s", err, failed.String())
	}
	told, refused := map[string]bool{}, 0
	lines := bufio.NewScanner(strings.NewReader(string(out)))
	for lines.Scan() {
		if why, ok := strings.CutPrefix(lines.Text(), "no room: "); ok {
			refused++
			if !strings.HasPrefix(why, "refused there is no room left") || !strings.Contains(why, "free some space") {
				t.Errorf("it says %q", why)
			}
			continue
		}
		told[lines.Text()+"\n"] = true
	}
	if refused != 3 || len(told) < 4 {
		t.Fatalf("%d writes were refused, %d taken: nothing was tested", refused, len(told))
	}
	if n := verified(t, opened(t, place), told); n != len(told) {
		t.Errorf("%d entries are there, %d were acknowledged", n, len(told))
	}
}

// TestFullDisk does so on a disk of 1.2 MB that is really full.
func TestFullDisk(t *testing.T) {
	folder := mounted(t, "tmpfs", 0, "size=1200k")
	place := filepath.Join(folder, "studio.db")
	s, err := Open(t.Context(), place, Options{})
	if err != nil {
		t.Fatal(err)
	}
	note := strings.Repeat("a long note ", 400)
	kept := 0
	write := func() error {
		return s.Write(t.Context(), func(tx studio.Tx) error {
			_, err := tx.SaveWork(edition.Work{Title: fmt.Sprint("work ", kept+1), Note: note})
			return err
		})
	}
	for err == nil && kept < 500 {
		if err = write(); err == nil {
			kept++
		}
	}
	if !fault.Is(err, fault.Refused) || !strings.Contains(err.Error(), "no room") || kept == 0 {
		t.Fatalf("after %d works: %v", kept, err)
	}
	if err := write(); !fault.Is(err, fault.Refused) || !strings.Contains(err.Error(), "no room") {
		t.Errorf("again: %v", err)
	}
	works := func() (n int, err error) {
		err = s.Read(t.Context(), func(tx studio.Tx) error { all, err := tx.Works(); n = len(all); return err })
		return n, err
	}
	if n, err := works(); err != nil || n != kept {
		t.Errorf("%d works can be read, %d were kept (%v)", n, kept, err)
	}
	if err := syscall.Mount("", folder, "", syscall.MS_REMOUNT, "size=4m"); err != nil {
		t.Fatal(err)
	}
	for range 3 {
		if err := write(); err != nil {
			t.Fatalf("with room again: %v", err)
		}
		kept++
	}
	if found, err := s.Integrity(t.Context()); err != nil || len(found) > 0 {
		t.Errorf("integrity: %v %v", found, err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	if s, err = Open(t.Context(), place, Options{}); err != nil {
		t.Fatal(err)
	}
	if n, err := works(); err != nil || n != kept {
		t.Errorf("%d works are there, %d were kept (%v)", n, kept, err)
	}
	s.Close()
}

// mounted gives a folder that is a file system of its own. A plain user may mount nothing.
func mounted(t *testing.T, kind string, flags uintptr, data string) string {
	t.Helper()
	folder := t.TempDir()
	if err := syscall.Mount("solander", folder, kind, flags, data); err != nil {
		t.Skipf("this user may not mount a file system (%v); TestNoRoom tries the same by a limit", err)
	}
	t.Cleanup(func() {
		if err := syscall.Unmount(folder, 0); err != nil {
			t.Error(err)
		}
	})
	return folder
}
