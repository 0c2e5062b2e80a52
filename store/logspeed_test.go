package store

import (
	"context"
	"crypto/sha256"
	"errors"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"solander/calendar"
	"solander/edition"
	"solander/internal/pgtest"
	"solander/internal/speedtest"
	"solander/store/leaves"
	"solander/store/numbers"
	"solander/store/table"
	"solander/studio/storetest/bed"
)

// errBack takes a transaction of a benchmark back.
var errBack = errors.New("taken back")

// leavesAtOnce is how many leaves a turn of BenchmarkAppend adds.
const leavesAtOnce = 500

// entriesFrom are entries as the register has them, one after the other.
func entriesFrom(seq int64, n int) []edition.Entry {
	out := make([]edition.Entry, n)
	for i := range out {
		out[i] = edition.Entry{
			Seq: seq + int64(i), Edition: 1, Number: edition.Number{Kind: edition.Numbered, N: i + 1}, Step: edition.Promise, Order: "S-1001",
			Day: calendar.Date(2031, 3, 4), At: time.Unix(1_930_000_000, 0), Who: "Ines", Note: "a reason",
			Turn: 1, After: edition.Standing{State: edition.Promised, Line: 1, Turn: 1},
		}
	}
	return out
}

// barely are two ways with the newest rows of a table: to keep them here, and to insert them once more when they are gone.
func barely[T any](of *table.Of[T]) (keep, insert func(*table.Conn) error) {
	var rows []T
	keep = func(c *table.Conn) (err error) {
		rows, err = of.List(c, "ORDER BY id DESC LIMIT $1", leavesAtOnce)
		slices.Reverse(rows)
		return err
	}
	insert = func(c *table.Conn) error {
		_, err := of.InsertAll(c, rows, "")
		return err
	}
	return keep, insert
}

// BenchmarkAppend adds leaves of entries to the log, and inserts the same rows bare, in turn and in transactions of one engine that are taken back:
// what hashing, salts and roots cost beside the row itself. Medians are compared, and the quickest of both, which had a second core to themselves: the
// log hashes on it. The processor's time counts all of that, but nothing of what a server does.
func BenchmarkAppend(b *testing.B) {
	for engine, place := range map[string]func(testing.TB) string{
		"sqlite":   func(t testing.TB) string { return filepath.Join(t.TempDir(), "studio.db") },
		"postgres": pgtest.New,
	} {
		b.Run(engine, func(b *testing.B) {
			st, err := Open(b.Context(), place(b), Options{})
			if err != nil {
				b.Fatal(err)
			}
			b.Cleanup(func() { _ = st.Close() })
			s := st.(*store)
			var log, bare []time.Duration
			var logWorked, bareWorked time.Duration
			keep, insert := barely(leaves.Leaves)
			// begun does f in a transaction with the log begun, which is taken back.
			begun := func(f func(t *tx) error) {
				err := s.write(context.Background(), func(t *tx) error {
					if err := t.AppendEntries(entriesFrom(1, 1)); err != nil {
						return err
					}
					if err := f(t); err != nil {
						return err
					}
					return errBack
				})
				if !errors.Is(err, errBack) {
					b.Fatal(err)
				}
			}
			more := entriesFrom(2, leavesAtOnce)
			for b.Loop() {
				begun(func(t *tx) error {
					before, start := speedtest.Processor(b), time.Now()
					if err := t.AppendEntries(more); err != nil {
						return err
					}
					if _, err := t.conn.One(`SELECT max(id) FROM leaves`, nil, new(int64)); err != nil { // they may be on their way until something is asked
						return err
					}
					log, logWorked = append(log, time.Since(start)), logWorked+speedtest.Processor(b)-before
					return keep(t.conn)
				})
				begun(func(t *tx) error {
					before, start := speedtest.Processor(b), time.Now()
					err := insert(t.conn)
					bare, bareWorked = append(bare, time.Since(start)), bareWorked+speedtest.Processor(b)-before
					return err
				})
			}
			b.ReportMetric(float64(middle(log).Nanoseconds())/1000/leavesAtOnce, "µs-a-leaf")
			b.ReportMetric(float64(middle(log))/float64(middle(bare)), "times-a-bare-insert")
			b.ReportMetric(float64(slices.Min(log))/float64(slices.Min(bare)), "times-at-best")
			b.ReportMetric(float64(logWorked)/float64(bareWorked), "times-its-processor")
		})
	}
}

// silent is a log that takes nothing.
type silent struct{}

func (silent) AppendEntries([]edition.Entry) error       { return nil }
func (silent) AppendDeclared(edition.Edition, int) error { return nil }

// BenchmarkAppendKept enters steps of one number, each in a durable transaction of its own as the program does, in turn into a studio whose log takes
// the entry as a leaf and one without a log: what the leaf adds to the entry that it is of.
func BenchmarkAppendKept(b *testing.B) {
	for engine, place := range map[string]func(testing.TB) string{
		"sqlite":   func(t testing.TB) string { return filepath.Join(t.TempDir(), "studio.db") },
		"postgres": pgtest.New,
	} {
		b.Run(engine, func(b *testing.B) {
			logging, bare := newStepper(b, place(b), true), newStepper(b, place(b), false)
			n := 0
			for b.Loop() {
				n++
				both := []*stepper{logging, bare}
				both[n%2].step(b)
				both[1-n%2].step(b)
			}
			with, without := middle(logging.took), middle(bare.took)
			b.ReportMetric(float64(with.Microseconds()), "µs-with-its-leaf")
			b.ReportMetric(float64(with)/float64(without), "times-without")
			b.ReportMetric(float64(logging.worked)/float64(bare.worked), "times-its-processor")
		})
	}
}

// stepper enters steps of one number.
type stepper struct {
	s     *store
	ed    int64
	logs  bool
	steps int

	took   []time.Duration
	worked time.Duration
}

func newStepper(b *testing.B, place string, logs bool) *stepper {
	b.Helper()
	s, err := Open(b.Context(), place, Options{})
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { _ = s.Close() })
	k := &stepper{s: s.(*store), logs: logs}
	err = k.s.write(b.Context(), func(t *tx) error {
		h, err := bed.Furnish(t)
		if err == nil {
			k.ed, err = t.Declare(h.Print(250))
		}
		return err
	})
	if err != nil {
		b.Fatal(err)
	}
	return k
}

// step puts the number into the archive, or takes it out again.
func (k *stepper) step(b *testing.B) {
	b.Helper()
	step := [2]edition.Step{edition.Keep, edition.Release}[k.steps%2]
	k.steps++
	before, start := speedtest.Processor(b), time.Now()
	err := k.s.write(context.Background(), func(t *tx) error {
		if !k.logs {
			t.registerRows = numbers.Register(t.conn, &k.s.kept.sales, silent{})
		}
		_, err := bed.Step(t, k.ed, edition.Number{Kind: edition.Numbered, N: 17}, step, 0, "")
		return err
	})
	if err != nil {
		b.Fatal(err)
	}
	k.took, k.worked = append(k.took, time.Since(start)), k.worked+speedtest.Processor(b)-before
}

// BenchmarkVerify looks through the log of a register of a million entries, and hashes the same bytes with SHA-256 alone.
func BenchmarkVerify(b *testing.B) {
	s, err := Open(b.Context(), filepath.Join(b.TempDir(), "large.db"), Options{Hasty: true, Story: true})
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { _ = s.Close() })
	if err := seed(b.Context(), s.(*store)); err != nil {
		b.Fatal(err)
	}
	var verify, worked, bare time.Duration
	var n, bytes int64
	for b.Loop() {
		err := s.(*store).read(b.Context(), func(t *tx) error {
			before, start := speedtest.Processor(b), time.Now()
			found, err := t.VerifyLog()
			verify, worked = verify+time.Since(start), worked+speedtest.Processor(b)-before
			if err != nil || len(found) > 0 {
				return errors.Join(err, errors.New("it is not sound: "+found[0]))
			}
			l, err := t.Log()
			if err != nil {
				return err
			}
			n, bytes, bare = l.Size, 0, 0
			h := sha256.New()
			for at := int64(0); at < l.Size; {
				some, err := t.Leaves(l.ID, at, 4096)
				if err != nil {
					return err
				}
				at += int64(len(some))
				start := time.Now()
				for _, one := range some {
					bytes += int64(len(one.Body))
					_, _ = h.Write([]byte(one.Body))
				}
				bare += time.Since(start)
			}
			return nil
		})
		if err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(verify.Seconds()/float64(b.N), "s")
	b.ReportMetric(worked.Seconds()/float64(b.N), "processor-s")
	b.ReportMetric(float64(n), "leaves")
	b.ReportMetric(verify.Seconds()/float64(b.N)/bare.Seconds(), "times-SHA-256")
	b.ReportMetric(float64(bytes)/1e6, "MB")
}
