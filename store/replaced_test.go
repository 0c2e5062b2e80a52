package store

import (
	"bytes"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"solander/edition"
	"solander/fault"
	"solander/studio"
)

// replacings are the ways in which the file of a running studio is taken away. Each says what the answer
// must name; back puts it back as it was.
var replacings = map[string]struct {
	harm  func(t *testing.T, place, other string) error
	names string
}{
	"renamed over": {func(t *testing.T, place, other string) error { return os.Rename(other, place) }, "another file"},
	"a copy of itself": {func(t *testing.T, place, other string) error {
		data, err := os.ReadFile(place)
		if err != nil {
			return err
		}
		return errors.Join(os.Remove(place), os.WriteFile(place, data, 0o600))
	}, "another file"},
	"deleted": {func(t *testing.T, place, other string) error { return os.Remove(place) }, "was removed"},
	"moved away": {func(t *testing.T, place, other string) error {
		return os.Rename(place, place+".old")
	}, "was removed"},
	"written over in place": {func(t *testing.T, place, other string) error {
		data, err := os.ReadFile(other)
		if err != nil {
			return err
		}
		return writeIn(place, data)
	}, "written over"},
	"emptied in place": {func(t *testing.T, place, other string) error { return os.Truncate(place, 0) }, "written over"},
	"without its log":  {func(t *testing.T, place, other string) error { return os.Remove(place + "-wal") }, "studio.db-wal"},
	"log of another": {func(t *testing.T, place, other string) error {
		return errors.Join(os.Remove(place+"-wal"), os.WriteFile(place+"-wal", nil, 0o600))
	}, "studio.db-wal"},
	"without its index": {func(t *testing.T, place, other string) error { return os.Remove(place + "-shm") }, "studio.db-shm"},
}

// writeIn writes over what a file holds.
func writeIn(path string, data []byte) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_TRUNC, 0)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	return errors.Join(err, f.Close())
}

// TestReplacedWhileOpen takes the file of a running store away in every way: no write is acknowledged after
// it, reads say so too, and closing the store touches nothing of what lies there now.
func TestReplacedWhileOpen(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	t.Parallel()
	for name, r := range replacings {
		t.Run(name, func(t *testing.T) {
			folder := t.TempDir()
			place, other := filepath.Join(folder, "studio.db"), filepath.Join(folder, "other.db")
			stand(t, place)
			stand(t, other)
			s, err := Open(t.Context(), place, Options{})
			if err != nil {
				t.Fatal(err)
			}
			for range 3 {
				if _, err := take(s); err != nil {
					t.Fatal(err)
				}
			}
			whole, err := os.ReadFile(place)
			if err != nil {
				t.Fatal(err)
			}
			if err := r.harm(t, place, other); err != nil {
				t.Fatal(err)
			}
			_, err = take(s)
			if !fault.Is(err, fault.Refused) || !strings.Contains(err.Error(), r.names) || fault.All(err)[0].Mend == "" {
				t.Errorf("a write: %v", err)
			}
			if strings.HasPrefix(r.names, "studio.db-") {
				s.Close() // reads are of the main file and the log as they were opened, and whole
				return
			}
			read := func() error {
				return s.Read(t.Context(), func(tx studio.Tx) error { _, err := tx.Works(); return err })
			}
			if err := read(); !fault.Is(err, fault.Refused) || !strings.Contains(err.Error(), r.names) {
				t.Errorf("a read: %v", err)
			}
			if found, err := s.Integrity(t.Context()); err == nil {
				t.Errorf("check: %v, %v", found, err)
			}
			if err := s.Dump(t.Context(), io.Discard); !fault.Is(err, fault.Refused) {
				t.Errorf("a backup: %v", err)
			}
			before, _ := os.ReadFile(place)
			mine := []byte("the log of a stranger")
			if !strings.HasSuffix(name, "in place") {
				if err := errors.Join(os.Remove(place+"-wal"), os.WriteFile(place+"-wal", mine, 0o600)); err != nil {
					t.Fatal(err)
				}
			}
			err = s.Close()
			after, _ := os.ReadFile(place)
			log, _ := os.ReadFile(place + "-wal")
			if strings.HasSuffix(name, "in place") {
				if !fault.Is(err, fault.Refused) || len(log) == 0 {
					t.Errorf("closing it: %v, a log of %d bytes", err, len(log))
				}
				if err := errors.Join(writeIn(place, whole), s.Close()); err != nil {
					t.Errorf("closing it when the file is back: %v", err)
				}
			} else if !bytes.Equal(log, mine) {
				t.Errorf("closing it touched the log that lies there now: %q", log)
			}
			if !bytes.Equal(before, after) {
				t.Errorf("closing it changed what lies there now: %d bytes, were %d", len(after), len(before))
			}
			if name == "moved away" {
				movedAwayIsWhole(t, place)
			}
		})
	}
}

// movedAwayIsWhole holds that a store that was closed after its file was moved away left that file whole.
func movedAwayIsWhole(t *testing.T, place string) {
	t.Helper()
	for _, tail := range []string{"-wal", "-shm"} {
		os.Remove(place + tail)
	}
	if err := os.Rename(place+".old", place); err != nil {
		t.Fatal(err)
	}
	if n := verified(t, opened(t, place), nil); n != 3 {
		t.Errorf("%d entries are in it, want 3", n)
	}
}

// TestReplacedWithin takes the file away while a write runs: it is not committed.
func TestReplacedWithin(t *testing.T) {
	place := filepath.Join(t.TempDir(), "studio.db")
	stand(t, place)
	s := opened(t, place)
	err := s.Write(t.Context(), func(tx studio.Tx) error {
		if _, err := tx.SaveWork(edition.Work{Title: "x"}); err != nil {
			return err
		}
		return os.Rename(place, place+".old")
	})
	if !fault.Is(err, fault.Refused) || !strings.Contains(err.Error(), "removed") {
		t.Errorf("got %v", err)
	}
	if err := os.Rename(place+".old", place); err != nil {
		t.Fatal(err)
	}
	err = s.Write(t.Context(), func(tx studio.Tx) error {
		works, err := tx.Works()
		if len(works) != 1 {
			t.Errorf("%d works are there", len(works))
		}
		return err
	})
	if err != nil {
		t.Errorf("it goes on when the file is back: %v", err)
	}
}
