package store

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/jackc/pgx/v5"

	"solander/store/sqlite"
)

// killMishap kills a program at work, at any moment from its first receipt on.
func killMishap(t *testing.T, m *mishapBed, chance *rand.Rand) verdict {
	place, told := m.begin(t, chance.IntN(2) == 0)
	w := startWork(t, place)
	w.next()
	time.Sleep(time.Duration(chance.IntN(40_000)) * time.Microsecond)
	w.kill()
	v := judge(t, place, append(told, w.rest()...))
	if v.bad == "" && v.how != whole {
		v.bad = "after a kill it is " + v.how
	}
	return v
}

// replaceMishap takes the file of a program at work away, or puts another in its place. The program must
// end by itself, saying so; the file that it had, put back with what went home into it, holds all that was
// acknowledged. What lies at its place is not taken for the studio that was there.
func replaceMishap(t *testing.T, m *mishapBed, chance *rand.Rand) verdict {
	place, told := m.begin(t, false)
	older, err := os.ReadFile(place)
	if err != nil {
		t.Fatal(err)
	}
	kept, other := place+".kept", filepath.Join(t.TempDir(), "other.db")
	w := startWork(t, place)
	for range 1 + chance.IntN(30) {
		w.next()
	}
	err = os.Link(place, kept)
	how := chance.IntN(4)
	switch how {
	case 0:
		err = errors.Join(err, os.Remove(place))
	case 1:
		err = errors.Join(err, os.Rename(place, place+".old"))
	case 2: // an older copy of itself
		err = errors.Join(err, os.WriteFile(other, older, 0o600), os.Rename(other, place))
	case 3: // another studio
		standWith(t, other, 1)
		err = errors.Join(err, os.Rename(other, place))
	}
	if err != nil {
		t.Fatal(err)
	}
	ended := time.AfterFunc(20*time.Second, w.kill)
	told = append(told, w.rest()...)
	if !ended.Stop() || w.fault == "" {
		return verdict{how: unseen, bad: fmt.Sprintf("it went on writing after its file was taken away (way %d)", how)}
	}
	if v := judge(t, place, told); v.bad != "" || v.how != refused {
		return verdict{how: v.how, bad: fmt.Sprintf("what lies at its place now is %s (way %d) %s", v.how, how, v.bad)}
	}
	if err := os.Rename(kept, place); err != nil {
		t.Fatal(err)
	}
	if v := judge(t, place, told); v.bad != "" || v.how != whole {
		return verdict{how: v.how, bad: fmt.Sprintf("its own file, put back, is %s (way %d) %s", v.how, how, v.bad)}
	}
	return verdict{how: refused}
}

// emptyMishap empties, cuts or removes one of the files of a studio that was killed at work.
func emptyMishap(t *testing.T, m *mishapBed, chance *rand.Rand) verdict {
	place, told := m.begin(t, true)
	path := place + someOf(chance, "", "", "-wal", "-wal", "-wal", "-shm", sqlite.SealTail)
	info, err := os.Stat(path)
	if err != nil {
		t.Fatal(err)
	}
	switch chance.IntN(3) {
	case 0:
		err = os.Truncate(path, 0)
	case 1:
		err = os.Remove(path)
	case 2:
		err = os.Truncate(path, chance.Int64N(info.Size()))
	}
	if err != nil {
		t.Fatal(err)
	}
	return judge(t, place, told)
}

// flipMishap flips one bit of the file, the log or the seal. What data it changed is told by comparing all
// that the studio holds with what it held before.
func flipMishap(t *testing.T, m *mishapBed, chance *rand.Rand) verdict {
	killed := chance.IntN(3) == 0
	place, told := m.begin(t, killed)
	path := place
	if killed {
		path += someOf(chance, "-wal", "-wal", sqlite.SealTail)
	}
	info, err := os.Stat(path)
	if err != nil {
		t.Fatal(err)
	}
	before := contentsOf(t, m, killed)
	at, bit := chance.Int64N(info.Size()), uint(chance.IntN(8))
	if err := flipIn(path, at, bit); err != nil {
		t.Fatal(err)
	}
	v := judge(t, place, told)
	if v.how != whole {
		if v.how == unseen && path == place { // counted, not judged: the page says so
			v.bad = ""
		}
		return v
	}
	s, err := Open(t.Context(), place, Options{})
	if err != nil {
		return faced(err)
	}
	defer s.Close()
	after, err := dumped(t.Context(), s)
	if err == nil && !cmp.Equal(before, after) {
		v.how = unseen
	}
	if err == nil && v.how == unseen && path != place {
		v.bad = "a flip beside the file changed data unseen"
	}
	return v
}

// contentsOf is what a studio of the bed holds.
func contentsOf(t *testing.T, m *mishapBed, killed bool) map[string]string {
	t.Helper()
	if out, ok := m.before[killed]; ok {
		return out
	}
	place, _ := m.begin(t, killed)
	s, err := Open(t.Context(), place, Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	out, err := dumped(t.Context(), s)
	if err != nil {
		t.Fatal(err)
	}
	m.before[killed] = out
	return out
}

// fullMishap lets the files grow so far and no further, in the midst of work; then gives room again.
func fullMishap(t *testing.T, m *mishapBed, chance *rand.Rand) verdict {
	place, told := m.begin(t, chance.IntN(2) == 0)
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), fullPlace+"="+place, fullRoom+fmt.Sprintf("=%d", 1+chance.IntN(60_000)))
	cmd.Stderr = os.Stderr
	out, err := cmd.Output()
	if err != nil {
		return verdict{how: unseen, bad: fmt.Sprintf("it ended: %v; %s", err, out)}
	}
	refusals := 0
	for line := range strings.Lines(string(out)) {
		if !strings.HasPrefix(line, "no room: ") {
			told = append(told, "N "+line)
		} else if refusals++; !strings.HasPrefix(line, "no room: refused there is no room left") {
			return verdict{how: unseen, bad: line}
		}
	}
	if refusals == 0 {
		return verdict{how: unseen, bad: "there was room all the time: nothing was tested"}
	}
	v := judge(t, place, told)
	if v.bad == "" && v.how != whole {
		v.bad = "after a full disk it is " + v.how
	}
	return v
}

// readOnlyMishap takes the right to write the file, the folder or both away.
func readOnlyMishap(t *testing.T, m *mishapBed, chance *rand.Rand) verdict {
	killed := chance.IntN(2) == 0
	place, told := m.begin(t, killed)
	file, folder := someOf[os.FileMode](chance, 0o444, 0o666), someOf[os.FileMode](chance, 0o555, 0o777)
	if file == 0o666 {
		folder = 0o555
		if killed { // all that a write needs is there, and may be written
			file = 0o444
		}
	}
	locked(t, place, file, folder)
	out := looked(t, place)
	entries := 0
	for _, r := range told {
		if strings.HasPrefix(r, "N ") {
			entries++
		}
	}
	var n int
	_, err := fmt.Sscanf(out, "entries %d", &n)
	switch {
	case err != nil && strings.HasPrefix(out, "fault refused") && strings.Contains(out, "copy the file and all"):
		return verdict{how: refused}
	case err != nil || n < entries || !strings.Contains(out, "write refused ") || !strings.Contains(out, "found 0\n"):
		return verdict{how: unseen, bad: fmt.Sprintf("%d entries were acknowledged; it said %q", entries, out)}
	}
	return verdict{how: whole}
}

// cutMishap kills a server process of PostgreSQL under two callers, now and then outright, upon which the
// whole server starts anew from its log. What was cut off while it committed may be there or not.
func cutMishap(t *testing.T, m *mishapBed, chance *rand.Rand) verdict {
	answers(t, m.server)
	place := onServer(t)
	standWith(t, place, mishapNumbers)
	s := opened(t, place)
	var mu sync.Mutex
	var told bytes.Buffer
	var stop atomic.Bool
	var all sync.WaitGroup
	for range 2 {
		all.Go(func() {
			for !stop.Load() {
				_ = work(s, locking{&mu, &told}, 3) // cut off: it begins anew
			}
		})
	}
	time.Sleep(time.Duration(20+chance.IntN(100)) * time.Millisecond)
	killWriter(t, place, chance.IntN(8) == 0)
	time.Sleep(30 * time.Millisecond)
	stop.Store(true)
	all.Wait()
	answers(t, m.server)
	v := judge(t, place, slices.Collect(strings.Lines(told.String())))
	if v.bad == "" && v.how != whole {
		v.bad = "after a cut it is " + v.how
	}
	return v
}

// answers waits until the server takes connections again: on a busy machine it may be seconds until it has read its log.
func answers(t *testing.T, server string) {
	t.Helper()
	var err error
	for end := time.Now().Add(time.Minute); time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
		var conn *pgx.Conn
		if conn, err = pgx.Connect(t.Context(), server); err == nil {
			_ = conn.Close(t.Context())
			return
		}
	}
	t.Fatalf("the server does not come back: %v", err)
}

// locking is a writer for several.
type locking struct {
	mu *sync.Mutex
	to io.Writer
}

func (l locking) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.to.Write(p)
}
