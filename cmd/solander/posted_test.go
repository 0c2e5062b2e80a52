//go:build unix

package main

import (
	"bytes"
	"flag"
	"path/filepath"
	"testing"
	"time"

	"solander/earned"
	"solander/internal/speedtest"
	"solander/journal"
	"solander/store"
	"solander/studio"
	"solander/web"
	"solander/yearly"
	"solander/years"
)

var postedOrders = flag.Int("posted-orders", 10_000, "how many orders the studio has whose year and earnings are read; the aim is for 100000, and 0 leaves it out")

var postedAt = flag.String("posted-at", "", "where that studio stays for the next run, a file or a PostgreSQL database; it is made when none stands there")

// BenchmarkPosted asks for the year and for what was earned in a studio all of whose orders stand in its journal, entered by the program itself: by the
// use cases, with nothing remembered, and the year as a page. The trial balance comes to nothing, and the year does not.
func BenchmarkPosted(b *testing.B) {
	n := *postedOrders
	if n == 0 {
		b.Skip("-posted-orders 0")
	}
	s := opened(b, postedStudio(b, n))
	st := useCases(b, s)
	balanced(b, st)
	b.Run("year", func(b *testing.B) {
		median(b, func() {
			v, err := years.Year(b.Context(), st, 2025)
			if err != nil {
				b.Fatal(err)
			}
			for _, r := range v.Years[0].Rows {
				switch r.Key {
				case "sales", "cost-of-goods", "postage":
					if r.Amount.Minor == 0 {
						b.Fatalf("%s came to nothing", r.Name)
					}
				}
			}
		})
	})
	postedPages(b, s, st)
	h := web.New(st, web.Options{})
	b.Run("year page", func(b *testing.B) { median(b, func() { get(b, h, "/earnings/year/2025", yearly.Income.Words()) }) })
	for _, by := range earned.Bys() {
		b.Run("earned by "+string(by), func(b *testing.B) {
			median(b, func() {
				if got, err := earned.Get(b.Context(), st, earned.Ask{By: by}); err != nil || got.Total.Prints < n {
					b.Fatalf("%d prints, %v", got.Total.Prints, err)
				}
			})
		})
	}
}

// postedPages asks for pages of the studio, each as the first one after something was written, when nothing of it is remembered, and again.
func postedPages(b *testing.B, s studio.Store, st *studio.Studio) {
	h := web.New(st, web.Options{})
	pages := []struct{ name, path, text string }{
		{"bench", "/", "Hand over"},
		{"orders", "/orders", "/orders/S-"},
		{"open orders", "/orders?state=open", "/orders/S-"},
		{"order", "/orders/600", "S-1600"},
		{"what an order earned", "/orders/600/earned", "S-1600"},
		{"editions", "/editions", "Heron at dusk"},
		{"edition", "/editions/31", "Heron at dusk"},
		{"drawer and shelf", "/drawer", "Heron at dusk"},
		{"search", "/search?q=beatrix+abernethy", "Beatrix Abernethy"},
		{"owed", "/earnings/owed", "wed"},
		{"earnings", "/earnings", "By edition"},
		{"parts of an edition", "/earnings/parts?span=all&by=edition&key=31", "Heron at dusk"},
	}
	for _, by := range earned.Bys() {
		pages = append(pages, struct{ name, path, text string }{"earnings of all time by " + string(by), "/earnings?span=all&by=" + string(by), "By " + string(by)})
	}
	for _, p := range pages {
		b.Run(p.name+", after a write", func(b *testing.B) {
			var took []time.Duration
			var worked time.Duration
			for b.Loop() {
				written(b, s)
				before, start := speedtest.Processor(b), time.Now()
				get(b, h, p.path, p.text)
				took, worked = append(took, time.Since(start)), worked+speedtest.Processor(b)-before
			}
			reportMedian(b, took)
			b.ReportMetric(float64(worked.Microseconds())/1000/float64(len(took)), "processor-ms")
		})
		b.Run(p.name, func(b *testing.B) { median(b, func() { get(b, h, p.path, p.text) }) })
	}
}

// postedStudio returns the place of the posted studio, and makes it when none stands there.
func postedStudio(b *testing.B, n int) string {
	b.Helper()
	place := *postedAt
	if place == "" {
		place = filepath.Join(b.TempDir(), "posted.db")
	} else if s, err := store.Open(b.Context(), place, store.Options{Clock: speedClock, There: true}); err == nil {
		defer s.Close()
		made := false
		err := s.Read(b.Context(), func(tx studio.Tx) error {
			some, err := tx.Orders(studio.OrderQuery{Limit: 1})
			made = len(some) > 0
			return err
		})
		if err != nil {
			b.Fatal(err)
		}
		if made {
			return place
		}
	}
	begun := time.Now()
	var small bytes.Buffer
	if err := opened(b, invented(b, speedSeed)).Dump(b.Context(), &small); err != nil {
		b.Fatal(err)
	}
	if err := loadGrown(b.Context(), place, &small, size{n, n / 2, 10 * n, n / 10, true}); err != nil {
		b.Fatal(err)
	}
	b.Logf("a posted studio of %d orders was made in %v", n, time.Since(begun).Round(time.Second))
	return place
}

// balanced looks that the debits are the credits, and that they are not nothing.
func balanced(b *testing.B, st *studio.Studio) {
	b.Helper()
	got, err := journal.Balance(b.Context(), st, journal.Span{})
	if err != nil {
		b.Fatal(err)
	}
	for _, x := range got.Totals {
		if x.Debit != x.Credit || x.Debit == 0 {
			b.Fatalf("debits %d, credits %d", x.Debit, x.Credit)
		}
	}
}
