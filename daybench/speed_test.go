package daybench_test

import (
	"fmt"
	"slices"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"solander/book"
	"solander/calendar"
	"solander/daybench"
	"solander/edition"
	"solander/internal/bed"
	"solander/internal/speedtest"
	"solander/measure"
	"solander/order"
	"solander/register"
	"solander/stockroom"
	"solander/studio"
	"solander/tariff/cards"
)

// manyOrders is how many orders a full day has in the benchmark.
const manyOrders = 1000

// fullDay is a studio with orders of one to three prints that may all be packed, to addresses all over the
// country, planned by the bundled cards.
func fullDay(b *testing.B) *bed.Bed {
	b.Helper()
	all, err := cards.All()
	if err != nil {
		b.Fatal(err)
	}
	d := bed.Empty(b)
	d.Clock.Set(2025, 12, 1) // the bundled cards hold
	d.Studio = studio.New(d.Open(d.Path), studio.Options{Clock: d.Clock.Now, Cards: studio.Given(all)})
	in := bed.FirstStudio()
	for i := range in.Shelf {
		in.Shelf[i].Stock = 10 * manyOrders
	}
	d.SetUp(in)
	sizes := []measure.Length{5, 7, 8, 10, 11, 14, 12, 16, 16, 20}
	var eds []int64
	for i := 0; i < len(sizes); i += 2 {
		e := bed.Heron()
		e.Width, e.Height, e.Limit, e.Proofs, e.Steps = sizes[i]*measure.Inch, sizes[i+1]*measure.Inch, 0, edition.Proofs{}, nil
		e = d.Declare(fmt.Sprintf("Plate %d", i/2), e)
		d.Must(stockroom.CountSheets(d.Ctx, d.Studio, e.ID, manyOrders, "counted"))
		eds = append(eds, e.ID)
	}
	places := [][2]string{{"24011", "VA"}, {"10027", "NY"}, {"33101", "FL"}, {"60614", "IL"}, {"77002", "TX"}, {"94110", "CA"}, {"98101", "WA"}, {"80202", "CO"}}
	var lines []int64
	for i := range manyOrders {
		sale := d.Sale()
		sale.Lines = nil
		for j := range 1 + i%3 {
			sale.Lines = append(sale.Lines, book.SaleLine{Edition: eds[(i*7+j*3)%len(eds)]})
		}
		sale.Buyer = order.Buyer{Name: fmt.Sprintf("Buyer %d", i)}
		place := places[i%len(places)]
		sale.ShipTo.Postcode, sale.ShipTo.Region = place[0], place[1]
		v := d.Take(sale)
		d.Must(book.Pay(d.Ctx, d.Studio, book.PaymentIn{Order: v.ID, Amount: v.Owed}))
		lines = append(lines, bed.LineIDs(v)...)
	}
	for len(lines) > 0 {
		n := min(1000, len(lines))
		d.Must(register.Sign(d.Ctx, d.Studio, lines[:n]))
		lines = lines[n:]
	}
	return d
}

// BenchmarkDay makes the bench of a day with a thousand orders that may be packed, with nothing remembered
// ("first") and with what is remembered from before ("again"); then with three kinds of packaging of which
// there are fewer than the orders would take, so that they are planned together.
func BenchmarkDay(b *testing.B) {
	all, err := cards.All()
	if err != nil {
		b.Fatal(err)
	}
	d := fullDay(b)
	look := func(b *testing.B, s *studio.Studio) {
		if _, err := daybench.List(d.Ctx, s, calendar.Day{}); err != nil {
			b.Fatal(err)
		}
	}
	st := d.Open(d.Path)
	fresh := func() *studio.Studio {
		return studio.New(st, studio.Options{Clock: d.Clock.Now, Cards: studio.Given(all)})
	}
	for _, stock := range []string{"plenty", "scarce"} {
		if stock == "scarce" {
			most := d.MostUsed(3)
			for _, key := range most {
				d.Must(stockroom.CountShelf(d.Ctx, d.Studio, d.Shelf()[key].ID, 50, "few are left"))
			}
		}
		b.Run(stock+"/first", func(b *testing.B) {
			for b.Loop() {
				look(b, fresh())
			}
		})
		b.Run(stock+"/again", func(b *testing.B) {
			s := fresh()
			look(b, s)
			for b.Loop() {
				look(b, s)
			}
		})
	}
}

// BenchmarkBenchBesideWriters makes the bench of two thousand open orders, half of which may be packed, over and over
// while four callers take sales and payments as fast as they can.
func BenchmarkBenchBesideWriters(b *testing.B) {
	d := fullDay(b)
	e := bed.Heron()
	e.Limit, e.Proofs, e.Steps = 0, edition.Proofs{}, nil
	lines := []book.SaleLine{{Edition: d.Declare("Card", e).ID}}
	for i := range manyOrders {
		sale := d.Sale()
		sale.Lines = lines
		sale.Buyer = order.Buyer{Name: fmt.Sprintf("Waiting %d", i)}
		d.Take(sale)
	}
	look := func() time.Duration {
		from := time.Now()
		if _, err := daybench.List(d.Ctx, d.Studio, calendar.Day{}); err != nil {
			b.Fatal(err)
		}
		return time.Since(from)
	}
	look()
	alone, from := speedtest.Processor(b), time.Now()
	for range 5 {
		look()
	}
	b.Logf("nobody writes: %v of processor, %v by the clock", (speedtest.Processor(b)-alone)/5, time.Since(from)/5)
	stop := make(chan struct{})
	var writers sync.WaitGroup
	var writes atomic.Int64
	for w := range 4 {
		writers.Go(func() {
			for i := 0; ; i++ {
				select {
				case <-stop:
					return
				default:
				}
				sale := d.Sale()
				sale.Lines = lines
				sale.Buyer = order.Buyer{Name: fmt.Sprintf("Caller %d, %d", w, i)}
				v, err := book.TakeOrder(d.Ctx, d.Studio, sale)
				if err == nil {
					err = book.Pay(d.Ctx, d.Studio, book.PaymentIn{Order: v.ID, Amount: v.Owed})
				}
				if err == nil && i%8 != 0 { // so that the studio does not grow without bound
					err = book.Cancel(d.Ctx, d.Studio, book.CancelIn{Order: v.ID, Reason: "measured"})
				}
				if err != nil {
					b.Error(err)
					return
				}
				writes.Add(2)
			}
		})
	}
	var took []time.Duration
	busy := speedtest.Processor(b)
	from = time.Now()
	b.ResetTimer()
	for range max(b.N, 100) {
		took = append(took, look())
	}
	b.StopTimer()
	b.ReportMetric((speedtest.Processor(b)-busy).Seconds()/time.Since(from).Seconds(), "cores")
	b.ReportMetric(float64(writes.Load())/time.Since(from).Seconds(), "writes/s")
	close(stop)
	writers.Wait()
	slices.Sort(took)
	b.ReportMetric(float64(took[len(took)/2].Milliseconds()), "p50-ms")
	b.ReportMetric(float64(took[len(took)*99/100].Milliseconds()), "p99-ms")
}
