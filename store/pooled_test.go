package store

import (
	"testing"
	"time"

	"solander/fault"
	"solander/internal/pgtest"
	"solander/studio"
	"solander/studio/storetest"
)

// TestContractBehindAPooler runs the whole contract where each transaction may be given another session of the server: nothing may rest on one.
func TestContractBehindAPooler(t *testing.T) {
	t.Parallel()
	through := pgtest.NewPooler(t)
	storetest.Run(t, func(t *testing.T) studio.Store {
		t.Helper()
		return openedWith(t, through(onServer(t)), Options{Patience: 3 * time.Minute})
	})
}

// The line between the pooler and the server is cut between COMMIT and its answer: the pooler's own words for it are neither taken for done nor
// for undone. When the line is mended the same store works on.
func TestOutcomeUnknownBehindAPooler(t *testing.T) {
	for done, want := range map[bool]int{true: 2, false: 1} {
		line := pgtest.NewLine(t, onServer(t))
		s := openedWith(t, pgtest.Pooled(t, line.DSN), Options{Away: 20 * time.Second})
		if err := addWork(t, s); err != nil {
			t.Fatal(err)
		}
		line.CutAtCommit(done)
		if err := addWork(t, s); !fault.Is(err, fault.Unsure) {
			t.Errorf("done %v: a commit that was cut behind the pooler answers %v", done, err)
		}
		if line.Cuts() != 1 {
			t.Fatalf("the line was cut %d times at a commit", line.Cuts())
		}
		if err := addWork(t, s); !fault.Is(err, fault.Busy) {
			t.Errorf("while the pooler has no server it says %v", err)
		}
		if err := line.Mend(); err != nil {
			t.Fatal(err)
		}
		if n := works(t, s); n != want {
			t.Errorf("done %v: %d works stand, want %d", done, n, want)
		}
	}
}

// A pooler that refuses what the place asks for is no server that is away.
func TestAPoolerThatRefuses(t *testing.T) {
	place := pgtest.Pooled(t, pgtest.New(t))
	_, err := Open(t.Context(), place+"&search_path=elsewhere", Options{})
	if !fault.Is(err, fault.Refused) {
		t.Errorf("it says %v", err)
	}
}
