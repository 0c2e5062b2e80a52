package store

import (
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"solander/book"
	"solander/calendar"
	"solander/charging"
	"solander/dispatch"
	"solander/edition"
	"solander/house"
	"solander/internal/pgtest"
	"solander/internal/speedtest"
	"solander/labelling"
	"solander/measure"
	"solander/order"
	"solander/register"
	"solander/studio"
	"solander/studio/storetest/bed"
	"solander/supply"
	"solander/tariff/cards"
)

// BenchmarkPosting takes sales by the use cases, in turn into a studio that enters them in its journal and one that does not, in one process: what the
// journal takes of a sale, its triggers, digests and kept sums with it. Over the table a print is paid, signed and handed over; by post it is paid, signed,
// planned, packed, labelled and handed over. The aim is a tenth.
func BenchmarkPosting(b *testing.B) {
	places := map[string]func(b *testing.B, name string) string{
		"sqlite":   func(b *testing.B, name string) string { return filepath.Join(b.TempDir(), name+".db") },
		"postgres": func(b *testing.B, _ string) string { return pgtest.New(b) },
	}
	for name, place := range places {
		b.Run(name+"/table", func(b *testing.B) {
			inTurn(b, newSeller(b, place(b, "posting"), false), newSeller(b, place(b, "bare"), true))
		})
		b.Run(name+"/post", func(b *testing.B) {
			inTurn(b, newPoster(b, place(b, "posting"), Options{}, false), newPoster(b, place(b, "bare"), Options{}, true))
		})
	}
}

func inTurn(b *testing.B, posting, bare *seller) {
	b.Helper()
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
	sale func(n int) book.Sale // the n-th
	post bool                  // it goes by post

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
		sale := book.Sale{Outlet: h.Outlet, Buyer: order.Buyer{ID: h.Buyer, Name: "Mara Lindqvist", Email: "mara@example.org"}, Lines: []book.SaleLine{{Edition: ed}}, InPerson: true, Paid: bed.USD(12_000)}
		k.sale = func(int) book.Sale { return sale }
		return err
	})
	if err != nil {
		b.Fatal(err)
	}
	return k
}

// newPoster takes sales that go by post, each to a buyer of its own, from a studio as it is set up, by the price lists that come with the program.
func newPoster(b testing.TB, place string, opt Options, unposted bool) *seller {
	b.Helper()
	s, err := Open(b.Context(), place, opt)
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { s.Close() })
	s.(*store).unposted = unposted
	day := func() time.Time { return time.Date(2026, 9, 3, 17, 0, 0, 0, time.UTC) }
	k := &seller{s: s, st: studio.New(s, studio.Options{Cards: cards.All, Clock: day}), post: true}
	in := house.Defaults(measure.Imperial)
	in.Settings.Studio, in.Settings.Artist = "Wren Street Press", "Nell Marsh"
	in.Settings.Address = order.Address{Name: "Wren Street Press", Line1: "1 Wren Street", City: "Blacksburg", Region: "VA", Postcode: "24060", Country: "US"}
	in.Outlets = []order.Outlet{{Name: "The market", PromiseDays: 5, Fees: charging.Simple(650, bed.USD(20))}}
	for i := range in.Shelf {
		in.Shelf[i].Stock = 90_000
	}
	in.Work, in.Sheets = edition.Work{Title: "Heron at dusk", Year: 2024}, 90_000
	in.Edition = bed.House{}.Print(0)
	in.Edition.Declared = calendar.Date(2026, 9, 1)
	if err := house.SetUp(b.Context(), k.st, in); err != nil {
		b.Fatal(err)
	}
	works, err := register.Works(b.Context(), k.st)
	if err != nil {
		b.Fatal(err)
	}
	outlets, err := house.Outlets(b.Context(), k.st)
	if err != nil {
		b.Fatal(err)
	}
	k.sale = func(n int) book.Sale {
		name := fmt.Sprintf("Ada Quill %d", n)
		return book.Sale{
			Outlet: outlets[0].ID, Buyer: order.Buyer{Name: name, Email: fmt.Sprintf("ada.%d@example.org", n)},
			ShipTo: order.Address{Name: name, Line1: "12 Reed Lane", City: "Roanoke", Region: "VA", Postcode: fmt.Sprintf("24%03d", 11+n%80), Country: "US"},
			Lines:  []book.SaleLine{{Edition: works[0].Editions[0].Edition.ID}}, Postage: bed.USD(500), Paid: bed.USD(12_500),
		}
	}
	return k
}

// timed is one sale, from its order to its hand-over.
func (k *seller) timed(b *testing.B) {
	b.Helper()
	sale := k.sale(len(k.took) + 1)
	work, begun := speedtest.Processor(b), time.Now()
	if err := k.sell(b.Context(), sale); err != nil {
		b.Fatal(err)
	}
	k.took = append(k.took, time.Since(begun))
	k.worked += speedtest.Processor(b) - work
}

func (k *seller) sell(ctx context.Context, sale book.Sale) error {
	v, err := book.TakeOrder(ctx, k.st, sale)
	if err == nil {
		err = register.Sign(ctx, k.st, []int64{v.Lines[0].ID})
	}
	if err != nil {
		return err
	}
	if !k.post {
		return dispatch.HandIn(ctx, k.st, dispatch.HandInIn{Order: v.ID})
	}
	parcels, err := dispatch.Pack(ctx, k.st, dispatch.PackIn{Order: v.ID})
	if err == nil {
		err = labelling.Label(ctx, k.st, labelling.LabelIn{Parcel: parcels[0].ID, Paid: bed.USD(655)})
	}
	if err == nil {
		_, err = dispatch.HandOver(ctx, k.st, dispatch.HandOverIn{Parcels: []int64{parcels[0].ID}})
	}
	return err
}

// middle is the median: on a machine that is busy otherwise a few turns wait for long, and say nothing of what is measured.
func middle(took []time.Duration) time.Duration {
	slices.Sort(took)
	return took[len(took)/2]
}
