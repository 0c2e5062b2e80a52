package store

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"solander/edition"
	"solander/fault"
	"solander/house"
	"solander/order"
	"solander/store/copies"
	"solander/store/sqlite"
	"solander/studio"
)

// workPlace tells a test binary started anew that it is to work there until it is killed or refused.
const workPlace = "SOLANDER_TEST_WORK"

// workSteps tells it after how much work it is to wait for its end; without it there is no such end.
const workSteps = "SOLANDER_TEST_STEPS"

// worker does the work in the process that was started for it: sales with a number each, and payments of
// earlier ones. It tells each thing after its commit, in one write; a fault ends it.
func worker() bool {
	place := os.Getenv(workPlace)
	if place == "" {
		return false
	}
	steps, limit := 1<<30, os.Getenv(workSteps)
	var err error
	if limit != "" {
		steps, err = strconv.Atoi(limit)
	}
	var s studio.Store
	if err == nil {
		s, err = Open(context.Background(), place, Options{})
	}
	if err == nil {
		err = work(s, os.Stdout, steps)
		if limit != "" && err == nil {
			_, err = io.Copy(io.Discard, os.Stdin) // whoever started it holds this open, and kills it
		}
		err = errors.Join(err, s.Close())
	}
	if err != nil {
		fmt.Printf("fault %s %s\n", fault.CodeOf(err), strings.ReplaceAll(err.Error(), "\n", " "))
	}
	return true
}

// work takes so many sales and payments, and writes a receipt of each.
func work(s studio.Store, out io.Writer, steps int) error {
	var paid int64
	for i := range steps {
		var told string
		err := s.Write(context.Background(), func(tx studio.Tx) error {
			if i%3 == 2 {
				p := order.Payment{Order: paid, Kind: order.Deposit, Amount: home.Print(1).Price}
				id, err := tx.AddPayment(p)
				told = fmt.Sprintf("P %d %d %d\n", id, p.Order, p.Amount.Minor)
				return err
			}
			e, err := home.Take(tx, 1)
			if err != nil {
				return err
			}
			o, err := tx.OrderByMark(e.Order)
			paid, told = o.ID, "N "+receipt(e)
			return err
		})
		if err != nil {
			return err
		}
		if _, err := io.WriteString(out, told); err != nil {
			return err
		}
	}
	return nil
}

// mishapBed holds what the faults share: a studio to begin with, and one that was killed at work.
type mishapBed struct {
	fresh  string   // the folder of a studio at rest, with some work done
	left   string   // the folder of one that was killed, its log beside it
	atRest []string // what was acknowledged in each
	atWork []string
	before map[bool]map[string]string // what each holds, by whether it was killed; see contentsOf
	server string                     // a database of PostgreSQL; "" = not yet made
}

// mishapNumbers is how many numbers the edition of a faulty studio has: more than are taken before its end.
const mishapNumbers = 1_000

func newMishapBed(t *testing.T) *mishapBed {
	t.Helper()
	bed := &mishapBed{fresh: t.TempDir(), left: t.TempDir(), before: map[bool]map[string]string{}}
	place := filepath.Join(bed.fresh, "studio.db")
	standWith(t, place, mishapNumbers)
	s, err := Open(t.Context(), place, Options{})
	var told bytes.Buffer
	if err == nil {
		err = work(s, &told, 90)
	}
	if err := closed(s, err); err != nil {
		t.Fatal(err)
	}
	bed.atRest = slices.Collect(strings.Lines(told.String()))
	copyFolder(t, bed.fresh, bed.left)
	// It is killed at rest: a last sale that was kept and never told may be gone after a fault, and that is no change unseen.
	w := startWork(t, filepath.Join(bed.left, "studio.db"), workSteps+"=60")
	for len(w.told) < 60 {
		if !w.next() || w.fault != "" {
			t.Fatalf("the worker ended: %v %s", w.told, w.fault)
		}
	}
	w.kill()
	bed.atWork = append(append(bed.atWork, bed.atRest...), w.rest()...)
	if sqlite.LogOf(filepath.Join(bed.left, "studio.db")) == "" {
		t.Fatal("the killed studio has no log")
	}
	return bed
}

// begin copies a studio into a folder of its own.
func (m *mishapBed) begin(t *testing.T, killed bool) (place string, told []string) {
	t.Helper()
	folder := filepath.Join(t.TempDir(), "prints")
	if err := os.Mkdir(folder, 0o755); err != nil {
		t.Fatal(err)
	}
	if killed {
		copyFolder(t, m.left, folder)
		return filepath.Join(folder, "studio.db"), m.atWork
	}
	copyFolder(t, m.fresh, folder)
	return filepath.Join(folder, "studio.db"), m.atRest
}

func copyFolder(t *testing.T, from, to string) {
	t.Helper()
	for name, data := range everything(t, from) {
		if err := os.WriteFile(filepath.Join(to, name), []byte(data), 0o600); err != nil {
			t.Fatal(err)
		}
	}
}

// working is a worker at work, with what it told so far.
type working struct {
	cmd   *exec.Cmd
	lines *bufio.Reader
	told  []string
	fault string // what ended it, if it was not killed
}

func startWork(t *testing.T, place string, env ...string) *working {
	t.Helper()
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(append(os.Environ(), workPlace+"="+place), env...)
	cmd.Stderr = os.Stderr
	if _, err := cmd.StdinPipe(); err != nil { // open until its end
		t.Fatal(err)
	}
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	w := &working{cmd: cmd, lines: bufio.NewReader(out)}
	t.Cleanup(func() { w.kill(); w.rest() })
	return w
}

// next waits for the next thing that it tells; what stands before the end without a line's end was never
// acknowledged.
func (w *working) next() bool {
	line, err := w.lines.ReadString('\n')
	if err != nil {
		return false
	}
	if strings.HasPrefix(line, "fault ") {
		w.fault = line
		return true
	}
	w.told = append(w.told, line)
	return true
}

func (w *working) kill() { _ = w.cmd.Process.Kill() } // it may have ended

// rest waits for its end and returns all that it told.
func (w *working) rest() []string {
	for w.next() {
		continue
	}
	_ = w.cmd.Wait() // how it ended is told by what it told
	return w.told
}

// judge opens a studio after a fault and compares it with what was acknowledged.
func judge(t *testing.T, place string, told []string) verdict {
	t.Helper()
	s, err := Open(t.Context(), place, Options{There: true})
	if err != nil {
		return faced(err)
	}
	defer s.Close()
	findings, err := checked(t, s)
	if err != nil {
		return verdict{how: found, bad: notKind(err)}
	}
	lost, err := missingOf(t.Context(), s, told)
	switch {
	case len(findings) > 0:
		return verdict{how: found}
	case err != nil:
		return verdict{how: unseen, bad: "sound, it says, and cannot be read: " + err.Error()}
	case lost != "":
		return verdict{how: unseen, bad: "sound, it says, but " + lost}
	}
	return verdict{how: whole}
}

// faced judges what the program says instead of opening.
func faced(err error) verdict {
	return verdict{how: refused, bad: notKind(err)}
}

// notKind says what is wrong with the words of a refusal.
func notKind(err error) string {
	for _, f := range fault.All(err) {
		if f.Code == fault.Internal || f.Mend == "" {
			return fmt.Sprintf("it says no more than: %v", err)
		}
	}
	return ""
}

// checked runs the check; a panic of it is an error.
func checked(t *testing.T, s studio.Store) (found []studio.Finding, err error) {
	t.Helper()
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("a panic: %v", r)
		}
	}()
	return house.Check(t.Context(), studio.New(s, studio.Options{}))
}

// missingOf says what of that which was acknowledged is not there, or is there twice.
func missingOf(ctx context.Context, s studio.Store, told []string) (string, error) {
	there := map[string]bool{}
	given := map[edition.Number]bool{}
	twice := ""
	err := s.(*store).read(ctx, func(t *tx) error {
		entries, err := t.Entries(0, 1<<20)
		if err != nil {
			return err
		}
		for _, e := range entries {
			there["N "+receipt(e)] = true
			if e.Step == edition.Promise && given[e.Number] {
				twice = fmt.Sprintf("number %s was given twice", e.Number)
			}
			given[e.Number] = true
		}
		return t.conn.Each(`SELECT id, order_id, amount FROM payments`, nil, func(rows *sql.Rows) error {
			var id, of, minor int64
			err := rows.Scan(&id, &of, &minor)
			there[fmt.Sprintf("P %d %d %d\n", id, of, minor)] = true
			return err
		})
	})
	if err != nil || twice != "" {
		return twice, err
	}
	n, first := 0, ""
	for _, r := range told {
		if !there[r] {
			if n == 0 {
				first = strings.TrimSpace(r)
			}
			n++
		}
	}
	if n > 0 {
		return fmt.Sprintf("%d of %d things that were acknowledged are gone, the first %q", n, len(told), first), nil
	}
	return "", nil
}

// dumped is all that a studio holds, by table, without the instant of the copy.
func dumped(ctx context.Context, s studio.Store) (map[string]string, error) {
	var packed bytes.Buffer
	if err := s.Dump(ctx, &packed); err != nil {
		return nil, err
	}
	zip, err := gzip.NewReader(&packed)
	if err != nil {
		return nil, err
	}
	text, err := io.ReadAll(zip)
	out := map[string]string{}
	parts := strings.Split(string(text), `{"table":`)
	for _, part := range parts[1:] { // the first is the head
		name, _, _ := strings.Cut(part, ",")
		rows, _, _ := strings.Cut(part, `{"rows":`) // the end, which has the sum of all
		out[name] = rows
	}
	if err == nil && len(out) != len(copies.Tables) {
		err = fmt.Errorf("%d tables were read", len(out))
	}
	return out, err
}

// someOf picks one.
func someOf[T any](chance *rand.Rand, all ...T) T { return all[chance.IntN(len(all))] }
