package waiting_test

import (
	"fmt"
	"testing"

	"solander/book"
	"solander/calendar"
	"solander/edition"
	"solander/internal/bed"
	"solander/internal/speedtest"
	"solander/measure"
	"solander/order"
	"solander/register"
	"solander/stockroom"
	"solander/studio"
	"solander/supply"
	"solander/tariff/cards"
	"solander/waiting"
)

// week is a studio with forty orders of 27 buyers, planned by the bundled cards: a third of them wait for runs of the week, and of the three
// kinds of packaging that they take most there are fewer than they would take, with more to come.
func week(b testing.TB) *bed.Bed {
	b.Helper()
	all, err := cards.All()
	if err != nil {
		b.Fatal(err)
	}
	d := bed.Empty(b)
	d.Clock.Set(2025, 12, 1) // the bundled cards hold
	d.Studio = studio.New(d.Open(d.Path), studio.Options{Clock: d.Clock.Now, Cards: studio.Given(all)})
	in := bed.FirstStudio()
	in.Settings.Combine = true
	in.Outlets[0].PromiseDays = 8
	d.SetUp(in)
	first := calendar.Date(2025, 12, 1)
	sizes := []measure.Length{8, 10, 11, 14, 12, 16, 16, 20}
	var eds []int64
	for i := 0; i < len(sizes); i += 2 {
		e := bed.Heron()
		e.Width, e.Height, e.Limit, e.Proofs, e.Steps = sizes[i]*measure.Inch, sizes[i+1]*measure.Inch, 0, edition.Proofs{}, nil
		e = d.Declare(fmt.Sprintf("Plate %d", i/2), e)
		if i > 0 {
			d.Must(stockroom.CountSheets(d.Ctx, d.Studio, e.ID, 200, "counted"))
		}
		eds = append(eds, e.ID)
	}
	for i := range 3 {
		_, err := stockroom.OrderRun(d.Ctx, d.Studio, supply.Run{Edition: eds[0], Lab: "Quay lab", Expected: first.Add(1 + i), Quantity: 10})
		d.Must(err)
	}
	places := [][2]string{{"24011", "VA"}, {"10027", "NY"}, {"33101", "FL"}, {"60614", "IL"}, {"77002", "TX"}, {"94110", "CA"}, {"98101", "WA"}}
	for i := range 40 {
		sale := d.Sale()
		sale.Lines = nil
		for j := range 1 + i%2 {
			sale.Lines = append(sale.Lines, book.SaleLine{Edition: eds[(i*3+j)%len(eds)]})
		}
		who := i % 27
		sale.Buyer, sale.ShipTo.Line1 = order.Buyer{Name: fmt.Sprintf("Buyer %d", who)}, fmt.Sprintf("%d Mill Road", who)
		place := places[who%len(places)]
		sale.ShipTo.Postcode, sale.ShipTo.Region = place[0], place[1]
		v := d.Take(sale)
		d.Must(book.Pay(d.Ctx, d.Studio, book.PaymentIn{Order: v.ID, Amount: v.Owed}))
		var lines []int64
		for _, l := range v.Live() {
			if l.Edition != eds[0] {
				lines = append(lines, l.ID)
			}
		}
		if len(lines) > 0 {
			d.Must(register.Sign(d.Ctx, d.Studio, lines))
		}
	}
	for i, key := range d.MostUsed(3) {
		d.Must(stockroom.CountShelf(d.Ctx, d.Studio, d.Shelf()[key].ID, 4+2*i, "few are left"))
		expect(d, d.Shelf()[key], 25, first.Add(2+i%2))
	}
	return d
}

// BenchmarkAhead plans five days of a week of forty orders, with nothing remembered ("first") and with the plans of sets of orders remembered
// ("again"). The aim is a second.
func BenchmarkAhead(b *testing.B) {
	all, err := cards.All()
	if err != nil {
		b.Fatal(err)
	}
	d := week(b)
	st := d.Open(d.Path)
	fresh := func() *studio.Studio {
		return studio.New(st, studio.Options{Clock: d.Clock.Now, Cards: studio.Given(all)})
	}
	for name, s := range map[string]func() *studio.Studio{"first": fresh, "again": func() *studio.Studio { return d.Studio }} {
		b.Run(name, func(b *testing.B) {
			var v waiting.View
			worked := speedtest.Processor(b)
			for b.Loop() {
				v, err = waiting.Ahead(d.Ctx, s(), 0)
				d.Must(err)
			}
			b.ReportMetric(float64((speedtest.Processor(b)-worked).Milliseconds())/float64(b.N), "processor-ms")
			waits, proven := 0, 0
			for _, o := range v.Orders {
				if o.Waits {
					waits++
				}
			}
			if v.Proven {
				proven = 1
			}
			if len(v.Orders) != 40 || waits == 0 {
				b.Fatalf("%d orders, %d wait", len(v.Orders), waits)
			}
			b.ReportMetric(float64(waits), "waits")
			b.ReportMetric(float64(proven), "proven")
		})
	}
}
