package store

import (
	"context"
	"database/sql"
	"fmt"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"solander/edition"
	"solander/studio"
	"solander/studio/storetest/bed"
)

// median runs f b.N times and reports the median beside the mean.
func median(b *testing.B, f func() error) {
	b.Helper()
	took := make([]time.Duration, 0, b.N)
	for b.Loop() {
		start := time.Now()
		if err := f(); err != nil {
			b.Fatal(err)
		}
		took = append(took, time.Since(start))
	}
	slices.Sort(took)
	b.ReportMetric(float64(took[len(took)/2].Microseconds())/1000, "median-ms")
}

// BenchmarkTake takes numbers one a transaction, by the store and by the bare driver in turn, on two
// files of the same form and settings. The driver does the inserts and updates of the store, durably,
// from statements prepared before, and asks and checks nothing.
func BenchmarkTake(b *testing.B) {
	ours, theirs := newTaker(b, "store.db"), newTaker(b, "driver.db")
	bare := newBare(b, theirs.place)
	var store, driver time.Duration
	n := 0
	for b.Loop() {
		n++
		start := time.Now()
		if err := ours.take(n); err != nil {
			b.Fatal(err)
		}
		store += time.Since(start)
		start = time.Now()
		if err := bare.take(n, theirs.line(n)); err != nil {
			b.Fatal(err)
		}
		driver += time.Since(start)
	}
	b.ReportMetric(float64(n)/store.Seconds(), "store-takes/s")
	b.ReportMetric(float64(n)/driver.Seconds(), "driver-takes/s")
	b.ReportMetric(float64(store)/float64(driver), "times-the-driver")
	if found, err := ours.s.Integrity(b.Context()); err != nil || len(found) > 0 {
		b.Errorf("integrity: %v %v", found, err)
	}
}

// most is how many numbers a benchmark may take.
const most = 60_000

type taker struct {
	s     studio.Store
	place string
	first int64 // the first line
}

func newTaker(b *testing.B, name string) *taker {
	b.Helper()
	k := &taker{place: filepath.Join(b.TempDir(), name)}
	var err error
	if k.s, err = Open(b.Context(), k.place, Options{}); err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { k.s.Close() })
	err = k.s.Write(b.Context(), func(tx studio.Tx) error {
		h, err := bed.Furnish(tx)
		if err != nil {
			return err
		}
		ed, err := tx.Declare(h.Print(most))
		if err != nil {
			return err
		}
		o, err := tx.AddOrder(h.Sale(ed))
		if err != nil {
			return err
		}
		k.first = o.Lines[0].ID
		line := o.Lines[0]
		for range most {
			if _, err := tx.AddLine(line); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		b.Fatal(err)
	}
	return k
}

func (k *taker) line(n int) int64 { return k.first + int64(n) }

func (k *taker) take(n int) error {
	return k.s.Write(context.Background(), func(tx studio.Tx) error {
		number, err := tx.Lowest(1, edition.Numbered)
		if err != nil {
			return err
		}
		_, err = bed.Step(tx, 1, number, edition.Promise, k.line(n), "S-1001")
		return err
	})
}

// bare is the driver alone, with the pragmas of the store.
type bare struct {
	begin, commit           *sql.Stmt
	register, number, tally *sql.Stmt
}

func newBare(b *testing.B, place string) *bare {
	b.Helper()
	db, err := sql.Open("sqlite", "file:"+place+"?_pragma=busy_timeout(5000)&_pragma=foreign_keys(1)&_pragma=synchronous(FULL)&_pragma=cache_size(-6000)&_pragma=journal_mode(WAL)")
	if err != nil {
		b.Fatal(err)
	}
	db.SetMaxOpenConns(1)
	b.Cleanup(func() { db.Close() })
	prepare := func(query string) *sql.Stmt {
		st, err := db.Prepare(query)
		if err != nil {
			b.Fatal(err)
		}
		return st
	}
	return &bare{
		begin: prepare(`BEGIN IMMEDIATE`), commit: prepare(`COMMIT`),
		register: prepare(`INSERT INTO register VALUES ($1, 1, 'N', $1, 1, 'promise', 'promised', $2, 0, 0, 'S-1001', '2031-03-04', $3, 'Ines', 'a reason', 0)`),
		number: prepare(`UPDATE impressions SET state = 'promised', line = $2, signed = 0, struck = 0, turn = 1, available = 0, day = '2031-03-04',
			signed_on = '', sent_mark = '' WHERE edition = 1 AND kind = 'N' AND number = $1`),
		tally: prepare(`UPDATE tallies SET free = free - 1, promised = promised + 1, held = held + 1 WHERE edition = 1`),
	}
}

func (r *bare) take(n int, line int64) error {
	for _, do := range []func() (sql.Result, error){
		func() (sql.Result, error) { return r.begin.Exec() },
		func() (sql.Result, error) { return r.register.Exec(n, line, time.Now().UnixMicro()) },
		func() (sql.Result, error) { return r.number.Exec(n, line) },
		func() (sql.Result, error) { return r.tally.Exec() },
		func() (sql.Result, error) { return r.commit.Exec() },
	} {
		if _, err := do(); err != nil {
			return err
		}
	}
	return nil
}

// BenchmarkLarge reads a studio of 100 000 orders, 200 of them open, and 1 000 000 register entries.
func BenchmarkLarge(b *testing.B) {
	place := filepath.Join(b.TempDir(), "large.db")
	s, err := Open(b.Context(), place, Options{})
	if err != nil {
		b.Fatal(err)
	}
	defer s.Close()
	start := time.Now()
	if err := seed(b.Context(), s.(*store)); err != nil {
		b.Fatal(err)
	}
	b.Logf("seeded in %v", time.Since(start).Round(time.Second))
	reading := func(name string, least int, f func(tx studio.Tx) (int, error)) {
		b.Run(name, func(b *testing.B) {
			median(b, func() error {
				return s.Read(context.Background(), func(tx studio.Tx) error {
					n, err := f(tx)
					if err == nil && n < least {
						err = fmt.Errorf("%s found %d, want %d at least", name, n, least)
					}
					return err
				})
			})
		})
	}
	reading("open orders", openOrders, func(tx studio.Tx) (int, error) { o, err := tx.OpenOrders(); return len(o), err })
	reading("newest orders", 50, func(tx studio.Tx) (int, error) { o, err := tx.Orders(studio.OrderQuery{}); return len(o), err })
	reading("counts", editions, func(tx studio.Tx) (int, error) { c, err := tx.Counts(); return len(c), err })
	reading("lowest", 1, func(tx studio.Tx) (int, error) { n, err := tx.Lowest(editions-1, edition.Numbered); return n.N, err })
	reading("history", 3, func(tx studio.Tx) (int, error) {
		h, err := tx.History(9, edition.Number{Kind: edition.Numbered, N: 1500})
		return len(h), err
	})
	for name, ask := range searches {
		reading("search/"+name, ask.least, func(tx studio.Tx) (int, error) {
			o, err := tx.Orders(studio.OrderQuery{Text: ask.text})
			return len(o), err
		})
		reading("buyers/"+name, 0, func(tx studio.Tx) (int, error) { o, err := tx.Buyers(ask.text, 50); return len(o), err })
	}
	b.Run("sale", func(b *testing.B) {
		median(b, func() error {
			return s.Write(context.Background(), func(tx studio.Tx) error { _, err := home.Take(tx, editions); return err })
		})
	})
}

var searches = map[string]struct {
	text  string
	least int
}{
	"mark":             {"S-54321", 1},
	"name":             {"anna1 holm3", 1},
	"e-mail":           {"b31337@example.org", 1},
	"title":            {"harbour", 50},
	"number and title": {"1500/10000 harbour", 1},
	"common surname":   {"holm", 50},
	"one letter":       {"h", 50},
	"two common words": {"harbour roanoke", 50},
	"never together":   {"harbour meadow", 0},
	"nothing":          {"zzyzx", 0},
	"city":             {"zwolle", 50},
}
