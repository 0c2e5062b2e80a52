package store

import (
	"context"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"solander/book"
	"solander/dispatch"
	"solander/internal/pgtest"
	"solander/internal/speedtest"
	"solander/order"
	"solander/register"
	"solander/studio"
	"solander/studio/storetest/bed"
	"solander/supply"
)

// BenchmarkPosting takes sales over the table by the use cases, paid, signed and handed over, in turn into a studio that enters them in its journal and one that
// does not, in one process: what the journal takes of a sale, its triggers, digests and kept sums with it. The aim is a tenth.
func BenchmarkPosting(b *testing.B) {
	places := map[string]func(b *testing.B, name string) string{
		"sqlite":   func(b *testing.B, name string) string { return filepath.Join(b.TempDir(), name+".db") },
		"postgres": func(b *testing.B, _ string) string { return pgtest.New(b) },
	}
	for name, place := range places {
		b.Run(name, func(b *testing.B) {
			posting, bare := newSeller(b, place(b, "posting"), false), newSeller(b, place(b, "bare"), true)
			n := 0
			for b.Loop() {
				n++
				both := []*seller{posting, bare}
				both[n%2].timed(b)
				both[1-n%2].timed(b)
			}
			with, without := middle(posting.took), middle(bare.took)
			b.ReportMetric(float64(with.Microseconds())/1000, "posted-median-ms")
			b.ReportMetric(float64(without.Microseconds())/1000, "bare-median-ms")
			b.ReportMetric(100*(1-float64(without)/float64(with)), "%-of-the-sale")
			b.ReportMetric(float64(posting.worked.Microseconds())/1000/float64(n), "posted-processor-ms")
			b.ReportMetric(100*(1-float64(bare.worked)/float64(posting.worked)), "%-of-its-processor")
			if count(b, posting.s) == 0 || count(b, bare.s) != 0 {
				b.Error("the one entered nothing, or the other something: nothing was compared")
			}
		})
	}
}

func count(b *testing.B, s studio.Store) (n int64) {
	b.Helper()
	if err := s.(*store).read(b.Context(), func(t *tx) error {
		_, err := t.conn.One(`SELECT count(*) FROM entries`, nil, &n)
		return err
	}); err != nil {
		b.Fatal(err)
	}
	return n
}

// seller takes sales by the use cases.
type seller struct {
	s    studio.Store
	st   *studio.Studio
	sale book.Sale

	took   []time.Duration // each sale
	worked time.Duration   // all of them
}

func newSeller(b *testing.B, place string, unposted bool) *seller {
	b.Helper()
	return newSellerBy(b, place, Options{}, unposted)
}

func newSellerBy(b *testing.B, place string, opt Options, unposted bool) *seller {
	b.Helper()
	s, err := Open(b.Context(), place, opt)
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { s.Close() })
	s.(*store).unposted = unposted
	k := &seller{s: s, st: studio.New(s, studio.Options{Cards: studio.Given(nil)})}
	err = s.Write(b.Context(), func(tx studio.Tx) error {
		h, err := bed.Furnish(tx)
		if err != nil {
			return err
		}
		set, err := tx.Settings()
		if err != nil {
			return err
		}
		set.TimeZone = "America/New_York"
		if err := tx.SaveSettings(set); err != nil {
			return err
		}
		ed, err := tx.Declare(h.Print(0))
		if err != nil {
			return err
		}
		err = tx.AddMove(supply.Move{Kind: supply.Sheets, Of: ed, Delta: 90_000, Reason: "found", Day: bed.Today, Why: supply.Why{Cause: supply.FirstCount, Cost: bed.USD(90_000 * 14_50)}})
		k.sale = book.Sale{Outlet: h.Outlet, Buyer: order.Buyer{ID: h.Buyer, Name: "Mara Lindqvist", Email: "mara@example.org"}, Lines: []book.SaleLine{{Edition: ed}}, InPerson: true, Paid: bed.USD(12_000)}
		return err
	})
	if err != nil {
		b.Fatal(err)
	}
	return k
}

// timed is one sale, taken, signed and handed over.
func (k *seller) timed(b *testing.B) {
	b.Helper()
	work, begun := speedtest.Processor(b), time.Now()
	ctx := context.Background()
	v, err := book.TakeOrder(ctx, k.st, k.sale)
	if err == nil {
		err = register.Sign(ctx, k.st, []int64{v.Lines[0].ID})
	}
	if err == nil {
		err = dispatch.HandIn(ctx, k.st, dispatch.HandInIn{Order: v.ID})
	}
	if err != nil {
		b.Fatal(err)
	}
	k.took = append(k.took, time.Since(begun))
	k.worked += speedtest.Processor(b) - work
}

// middle is the median: on a machine that is busy otherwise a few turns wait for long, and say nothing of what is measured.
func middle(took []time.Duration) time.Duration {
	slices.Sort(took)
	return took[len(took)/2]
}
