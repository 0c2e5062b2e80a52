//go:build unix

package main

import (
	"net/http"
	"net/http/httptest"
	"testing"
	"time"

	"solander/internal/speedtest"
	"solander/studio"
	"solander/web"
)

// everyPage is an address of each page that shows what a studio has, in the posted studio; files that hold all of it are left out.
var everyPage = []string{
	"/", "/scan", "/orders", "/orders?state=open", "/orders?text=quill", "/orders?outlet=2", "/orders?stage=money", "/orders?before=5000", "/orders/new", "/till", "/orders/1", "/orders/600", "/orders/1/papers",
	"/parcels/1/claim", "/claims", "/claims/1", "/quote?size=12+x+16&prints=2&postcode=97201", "/ahead", "/earnings/owed", "/earnings/owed/1", "/earnings/papers", "/earnings/papers/I-1", "/papers/bill/I-1.pdf",
	"/earnings/year", "/earnings/year/2025", "/earnings/year/2025/entries?of=sales", "/earnings/year/2025/entries?of=postage&month=6", "/earnings/opening", "/earnings/tax",
	"/earnings/tax?from=2025-01-01&until=2025-12-31", "/earnings/tax-rates", "/buyers", "/buyers?text=beatrix", "/buyers/1", "/buyers/900", "/editions", "/editions/new", "/editions/record", "/editions/1",
	"/editions/31", "/editions/31/certificates", "/editions/31/facts", "/editions/31/numbers/17", "/certificates/letterhead", "/certificates/check", "/works/1", "/drawer", "/drawer/1", "/drawer/31", "/runs/new",
	"/runs/1", "/shelf/1", "/boards", "/shelf-savings", "/intake", "/hand-over", "/studio", "/studio/outlets/1", "/studio/outlets/1/fees?price=120", "/earnings", "/earnings?span=month", "/earnings?span=all",
	"/earnings?span=all&by=buyer", "/earnings?span=last-year&by=buyer", "/earnings?from=2025-03-10&to=2025-11-20&by=edition", "/earnings?from=2025-03-10&to=2025-11-20&by=outlet",
	"/earnings?from=2025-03-10&to=2025-11-20&by=state", "/earnings?from=2025-03-10&to=2025-11-20&by=buyer", "/earnings?from=2024-05-10&to=2026-03-20&by=buyer", "/earnings/parts?span=all&by=edition&key=31",
	"/earnings/parts?span=all&by=picture&key=1", "/earnings/parts?span=all&by=outlet&key=1", "/earnings/parts?span=last-year&by=outlet&key=1", "/earnings/parts?from=2025-03-10&to=2025-11-20&by=outlet&key=1",
	"/earnings/parts?span=all&by=state&key=US+OR", "/earnings/parts?span=all&by=buyer&key=900", "/earnings/prices", "/earnings/prices/31", "/orders/600/earned", "/earnings/currencies", "/earnings/fairs",
	"/earnings/fairs/1", "/earnings/galleries", "/earnings/galleries/1", "/earnings/payouts", "/earnings/payouts/new?outlet=2&net=100", "/earnings/payouts/1", "/earnings/bank", "/earnings/bank/1",
	"/studio/cards/renew?id=us-usps-commercial-2025-10-05", "/studio/cards/list", "/studio/wraps", "/studio/weighed?wrap=tube", "/studio/leaving", "/studio/lists", "/studio/what-if", "/studio/feeds",
	"/studio/privacy", "/studio/copies", "/studio/files", "/promises.ics", "/papers/bench.pdf", "/papers/day/everything.pdf", "/search?q=quill", "/search?q=17/1000+heron", "/search?q=h",
}

// BenchmarkEveryPage asks for every page of the posted studio: as the first after something was written, and again.
func BenchmarkEveryPage(b *testing.B) {
	if *postedOrders == 0 {
		b.Skip("-posted-orders 0")
	}
	s := opened(b, postedStudio(b, *postedOrders))
	h := web.New(useCases(b, s), web.Options{})
	ask := func(b *testing.B, path string) time.Duration {
		start, w := time.Now(), httptest.NewRecorder()
		h.ServeHTTP(w, httptest.NewRequest("GET", "http://localhost"+path, nil))
		if w.Code != http.StatusOK {
			b.Fatalf("%s answers %d: %.300s", path, w.Code, w.Body)
		}
		return time.Since(start)
	}
	for _, path := range everyPage {
		b.Run(path, func(b *testing.B) {
			var first, again []time.Duration
			var worked time.Duration
			for b.Loop() {
				written(b, s)
				before := speedtest.Processor(b)
				first = append(first, ask(b, path))
				worked += speedtest.Processor(b) - before
				again = append(again, ask(b, path))
			}
			b.ReportMetric(medianOf(first), "first-ms")
			b.ReportMetric(float64(worked.Microseconds())/1000/float64(len(first)), "first-processor-ms")
			b.ReportMetric(medianOf(again), "again-ms")
		})
	}
}

// written saves the settings as they stand, after which nothing that was read is remembered.
func written(b *testing.B, s studio.Store) {
	b.Helper()
	err := s.Write(b.Context(), func(tx studio.Tx) error {
		set, err := tx.Settings()
		if err == nil {
			err = tx.SaveSettings(set)
		}
		return err
	})
	if err != nil {
		b.Fatal(err)
	}
}
