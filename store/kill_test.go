package store

import (
	"bufio"
	"bytes"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"solander/edition"
	"solander/fault"
	"solander/studio"
	"solander/studio/storetest/bed"
)

// takerPlace tells a test binary started anew that it is to take numbers there until it is killed.
const takerPlace = "SOLANDER_TEST_TAKER"

// helper does the taker's work in the process that was started for it.
func helper() bool {
	place := os.Getenv(takerPlace)
	if place == "" {
		return false
	}
	s, err := Open(context.Background(), place, Options{})
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	for {
		e, err := take(s)
		if err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		os.Stdout.WriteString(receipt(e)) // one write, after the commit
	}
}

// house is the studio that stand makes.
var home = bed.House{Outlet: 1, Buyer: 1, Work: 1}

func take(s studio.Store) (e edition.Entry, err error) {
	err = s.Write(context.Background(), func(tx studio.Tx) error {
		e, err = home.Take(tx, 1)
		return err
	})
	return e, err
}

func receipt(e edition.Entry) string {
	return fmt.Sprintf("%d %d %d\n", e.Seq, e.Number.N, e.After.Line)
}

// stand makes a studio with one large edition.
func stand(t *testing.T, place string) { t.Helper(); standWith(t, place, fullEdition) }

// standWith makes one with an edition of so many numbers.
func standWith(t *testing.T, place string, limit int) {
	t.Helper()
	s, err := Open(t.Context(), place, Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	err = s.Write(t.Context(), func(tx studio.Tx) error {
		h, err := bed.Furnish(tx)
		if err != nil {
			return err
		}
		if h != home {
			t.Fatalf("the house is %+v", h)
		}
		_, err = tx.Declare(h.Print(limit))
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}

// killed runs a taker and kills it after a while, counted from its first receipt or from its start. It
// returns the receipts that it gave.
func killed(t *testing.T, place string, after time.Duration, fromFirst bool) []string {
	t.Helper()
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), takerPlace+"="+place)
	var failed bytes.Buffer
	cmd.Stderr = &failed
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	kill := func() { cmd.Process.Signal(syscall.SIGKILL) }
	if !fromFirst {
		time.AfterFunc(after, kill)
	}
	var got []string
	lines := bufio.NewReader(out)
	for {
		line, err := lines.ReadString('\n')
		if err != nil {
			break // what stands before the end without a line's end was never acknowledged
		}
		if got = append(got, line); len(got) == 1 && fromFirst {
			time.AfterFunc(after, kill)
		}
	}
	cmd.Wait()
	if status, ok := cmd.ProcessState.Sys().(syscall.WaitStatus); !ok || status.Signal() != syscall.SIGKILL {
		t.Fatalf("the taker ended by itself: %v, %s", cmd.ProcessState, failed.String())
	}
	return got
}

// verified reopens the store and checks all that must hold: see TestKilled. It returns the entries.
func verified(t *testing.T, s studio.Store, receipts map[string]bool) int {
	t.Helper()
	if found, err := s.Integrity(t.Context()); err != nil || len(found) > 0 {
		t.Fatalf("integrity: %v %v", found, err)
	}
	histories := make(map[edition.Number][]edition.Entry)
	given := make(map[string]bool)
	n := 0
	err := s.Read(t.Context(), func(tx studio.Tx) error {
		for {
			part, err := tx.Entries(int64(n), 5000)
			if err != nil {
				return err
			}
			for _, e := range part {
				n++
				if e.Seq != int64(n) {
					t.Fatalf("entry %d stands at %d", e.Seq, n)
				}
				histories[e.Number] = append(histories[e.Number], e)
				given[receipt(e)] = true
			}
			if len(part) == 0 {
				break
			}
		}
		for number, history := range histories {
			if err := edition.Verify(history); err != nil {
				t.Fatal(err)
			}
			if len(history) != 1 {
				t.Fatalf("number %s was taken %d times", number, len(history))
			}
		}
		return foldHolds(t, tx, histories)
	})
	if err != nil {
		t.Fatal(err)
	}
	for r := range receipts {
		if !given[r] {
			t.Fatalf("the taker was told %q, and it is not there", strings.TrimSpace(r))
		}
	}
	return n
}

// foldHolds checks that every number stands as its entries say, and that its line is there with it.
func foldHolds(t *testing.T, tx studio.Tx, histories map[edition.Number][]edition.Entry) error {
	t.Helper()
	rows, err := tx.Numbers(1)
	if err != nil {
		return err
	}
	for _, row := range rows {
		want := edition.FreshStanding()
		if h := histories[row.Number]; len(h) > 0 {
			want = h[len(h)-1].After
			if row.OrderMark != h[len(h)-1].Order {
				t.Fatalf("number %s is of order %q, its entry says %q", row.Number, row.OrderMark, h[len(h)-1].Order)
			}
		}
		if row.Standing != want {
			t.Fatalf("number %s stands as %+v, its entries say %+v", row.Number, row.Standing, want)
		}
	}
	return nil
}

// TestKilled kills a process that takes numbers a hundred times, at any moment from its start on.
// After each time: the file is sound, every number was taken once at most, each stands as the fold of
// its entries, positions have no gap, and every number that the process was told it had is there.
func TestKilled(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	t.Parallel()
	place := filepath.Join(t.TempDir(), "studio.db")
	stand(t, place)
	receipts := make(map[string]bool)
	inStream := 0
	for i := range kills {
		fromFirst := i%5 != 0
		after := rand.N(40 * time.Millisecond)
		if !fromFirst {
			after *= 3
		}
		got := killed(t, place, after, fromFirst)
		if len(got) > 0 {
			inStream++
		}
		for _, r := range got {
			receipts[r] = true
		}
		s, err := Open(t.Context(), place, Options{})
		if err != nil {
			t.Fatalf("kill %d: %v", i, err)
		}
		n := verified(t, s, receipts)
		if n > len(receipts)+i+1 {
			t.Fatalf("kill %d: %d entries and %d receipts: more than one a kill was not acknowledged", i, n, len(receipts))
		}
		s.Close()
	}
	if inStream < kills/2 {
		t.Errorf("only %d of %d kills came while numbers were taken", inStream, kills)
	}
	t.Logf("%d kills in mid-stream, %d numbers acknowledged", inStream, len(receipts))
}

// TestKilledClient does the same to a client of PostgreSQL.
func TestKilledClient(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	t.Parallel()
	place := onServer(t)
	stand(t, place)
	receipts := make(map[string]bool)
	for range 5 {
		for _, r := range killed(t, place, rand.N(100*time.Millisecond), true) {
			receipts[r] = true
		}
		s := opened(t, place)
		verified(t, s, receipts)
	}
	if len(receipts) < 5 {
		t.Errorf("only %d numbers were taken", len(receipts))
	}
}

// TestKilledServer kills server processes of PostgreSQL under four takers: asked to end, and killed
// outright, upon which the whole server starts anew from its log.
func TestKilledServer(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	place := onServer(t)
	stand(t, place)
	s := opened(t, place)
	receipts := make(map[string]bool)
	var mu sync.Mutex
	var stop atomic.Bool
	var unsure atomic.Int64
	var wg sync.WaitGroup
	for range 4 {
		wg.Go(func() {
			for !stop.Load() {
				e, err := take(s)
				switch {
				case err != nil && fault.Is(err, fault.Refused):
					t.Error(err)
					return
				case err != nil: // cut off while it committed: nobody knows
					unsure.Add(1)
				default:
					mu.Lock()
					receipts[receipt(e)] = true
					mu.Unlock()
				}
			}
		})
	}
	for i := range 6 {
		time.Sleep(100*time.Millisecond + rand.N(100*time.Millisecond))
		killWriter(t, place, i%2 == 1)
	}
	before := atLeast(&mu, receipts)
	time.Sleep(300 * time.Millisecond)
	stop.Store(true)
	wg.Wait()
	if len(receipts) <= before {
		t.Errorf("no number was taken after the last kill")
	}
	n := verified(t, s, receipts)
	t.Logf("%d numbers acknowledged of %d, %d unsure", len(receipts), n, unsure.Load())
	if int64(n) > int64(len(receipts))+unsure.Load() {
		t.Errorf("%d entries, but %d receipts and %d unsure", n, len(receipts), unsure.Load())
	}
}

func atLeast(mu *sync.Mutex, receipts map[string]bool) int {
	mu.Lock()
	defer mu.Unlock()
	return len(receipts)
}

// killWriter ends the server process of a connection that is in a transaction, and waits until the
// server answers again.
func killWriter(t *testing.T, place string, outright bool) {
	t.Helper()
	db, err := sql.Open("pgx", place)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	var pid int
	patiently(t, func() error {
		return db.QueryRow(`SELECT pid FROM pg_stat_activity WHERE application_name = 'solander' AND datname = current_database()
			AND state <> 'idle' AND pid <> pg_backend_pid() LIMIT 1`).Scan(&pid)
	})
	if outright {
		server, err := os.FindProcess(pid)
		if err == nil {
			err = server.Kill()
		}
		if err != nil && !errors.Is(err, os.ErrProcessDone) {
			t.Fatal(err)
		}
	} else if _, err := db.Exec(`SELECT pg_terminate_backend($1)`, pid); err != nil {
		t.Fatal(err)
	}
	patiently(t, func() error { return db.Ping() })
}

func patiently(t *testing.T, f func() error) {
	t.Helper()
	var err error
	for range 500 {
		if err = f(); err == nil {
			return
		}
		time.Sleep(20 * time.Millisecond)
	}
	t.Fatalf("the server does not answer: %v", err)
}
