//go:build unix

package main

import (
	"bytes"
	"flag"
	"path/filepath"
	"testing"
	"time"

	"solander/earned"
	"solander/journal"
	"solander/studio"
	"solander/web"
	"solander/yearly"
	"solander/years"
)

var postedOrders = flag.Int("posted-orders", 10_000, "how many orders the studio has whose year and earnings are read; the aim is for 100000, and 0 leaves it out")

// BenchmarkPosted asks for the year and for what was earned in a studio all of whose orders stand in its journal, entered by the program itself: by the
// use cases, with nothing remembered, and the year as a page. The trial balance comes to nothing, and the year does not.
func BenchmarkPosted(b *testing.B) {
	n := *postedOrders
	if n == 0 {
		b.Skip("-posted-orders 0")
	}
	place := filepath.Join(b.TempDir(), "posted.db")
	begun := time.Now()
	var small bytes.Buffer
	if err := opened(b, invented(b, speedSeed)).Dump(b.Context(), &small); err != nil {
		b.Fatal(err)
	}
	if err := loadGrown(b.Context(), place, &small, size{n, n / 2, 10 * n, n / 10, true}); err != nil {
		b.Fatal(err)
	}
	b.Logf("a posted studio of %d orders was made in %v", n, time.Since(begun).Round(time.Second))
	s := opened(b, place)
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
