package store

import (
	"testing"
	"time"

	"solander/edition"
	"solander/fault"
	"solander/internal/pgtest"
	"solander/studio"
)

// works counts the works of a store.
func works(t *testing.T, s studio.Store) (n int) {
	t.Helper()
	err := s.Read(t.Context(), func(tx studio.Tx) error {
		all, err := tx.Works()
		n = len(all)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return n
}

func addWork(t *testing.T, s studio.Store) error {
	t.Helper()
	return s.Write(t.Context(), func(tx studio.Tx) error { _, err := tx.SaveWork(edition.Work{Title: "Heron"}); return err })
}

// TestOutcomeUnknown cuts the connection between COMMIT and its answer, before and after the server has done it:
// both look the same from here, and neither is called done, undone or a failure of the program.
func TestOutcomeUnknown(t *testing.T) {
	for done, want := range map[bool]int{true: 2, false: 1} {
		line := pgtest.NewLine(t, onServer(t))
		s, err := Open(t.Context(), line.DSN, Options{Away: 3 * time.Second})
		if err != nil {
			t.Fatal(err)
		}
		defer s.Close()
		if err := addWork(t, s); err != nil {
			t.Fatal(err)
		}
		line.CutAtCommit(done)
		err = addWork(t, s)
		if !fault.Is(err, fault.Unsure) {
			t.Errorf("done %v: a commit that was cut answers %v", done, err)
		}
		if line.Cuts() != 1 {
			t.Fatalf("the line was cut %d times at a commit", line.Cuts())
		}
		if err := line.Mend(); err != nil {
			t.Fatal(err)
		}
		if n := works(t, s); n != want {
			t.Errorf("done %v: %d works stand, want %d", done, n, want)
		}
	}
}

// bounded is how long a wait may last at most, also on a machine that is busy otherwise, to count as one that ends by itself.
const bounded = 20 * time.Second

// TestServerAway holds that a server that is away is a Busy after a bounded wait, for reads and writes, and that
// the store comes back by itself.
func TestServerAway(t *testing.T) {
	const away = 2 * time.Second
	line := pgtest.NewLine(t, onServer(t))
	s, err := Open(t.Context(), line.DSN, Options{Away: away})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	if err := addWork(t, s); err != nil {
		t.Fatal(err)
	}
	read := func() error {
		return s.Read(t.Context(), func(tx studio.Tx) error { _, err := tx.Works(); return err })
	}
	for range 2 {
		line.Cut()
		for what, ask := range map[string]func() error{"read": read, "write": func() error { return addWork(t, s) }} {
			begun := time.Now()
			err := ask()
			if took := time.Since(begun); !fault.Is(err, fault.Busy) || took < away || took > bounded {
				t.Errorf("%s: %v after %v", what, err, took)
			}
		}
		if err := line.Mend(); err != nil {
			t.Fatal(err)
		}
		if err := read(); err != nil {
			t.Errorf("after the server came back: %v", err)
		}
	}
	line.Cut()
	time.AfterFunc(away/3, func() { _ = line.Mend() }) // what waits for it notices a line that stays cut
	if err := addWork(t, s); err != nil {
		t.Errorf("a server that is away for a moment: %v", err)
	}
	if n := works(t, s); n != 2 {
		t.Errorf("%d works, want 2", n)
	}
	line.Cut()
	begun := time.Now()
	if _, err := Open(t.Context(), line.DSN, Options{Away: away}); !fault.Is(err, fault.Busy) || time.Since(begun) < away {
		t.Errorf("opening: %v after %v", err, time.Since(begun))
	}
}

// TestServerGoesAwayInARead cuts the line under a read: what was begun is told as Busy, not as a failure of ours.
func TestServerGoesAwayInARead(t *testing.T) {
	line := pgtest.NewLine(t, onServer(t))
	s, err := Open(t.Context(), line.DSN, Options{Away: 3 * time.Second})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	err = s.Read(t.Context(), func(tx studio.Tx) error {
		line.Cut()
		_, err := tx.Works()
		return err
	})
	if !fault.Is(err, fault.Busy) {
		t.Errorf("%v", err)
	}
}

// TestNoConnectionLeft holds a reader to the bound when all connections are in use.
func TestNoConnectionLeft(t *testing.T) {
	s, err := Open(t.Context(), onServer(t), Options{Readers: 1, Patience: 300 * time.Millisecond})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	inside, end := make(chan bool), make(chan bool)
	for range 3 {
		go func() {
			_ = s.Read(t.Context(), func(studio.Tx) error { inside <- true; <-end; return nil }) // what it reads is no matter
		}()
	}
	for range 3 {
		<-inside
	}
	begun := time.Now()
	err = s.Read(t.Context(), func(studio.Tx) error { return nil })
	if took := time.Since(begun); !fault.Is(err, fault.Busy) || took > bounded {
		t.Errorf("%v after %v", err, took)
	}
	close(end)
}
