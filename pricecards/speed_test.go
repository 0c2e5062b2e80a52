package pricecards_test

import (
	"testing"
	"time"

	"solander/internal/bed"
	"solander/internal/speedtest"
	"solander/pricecards"
	"solander/stockroom"
)

// The grid of the next card for 600 parcels of the last year, from the book; the aim is 200 ms.
func BenchmarkGrid(b *testing.B) {
	s := bed.New(b)
	s.Must(stockroom.CountSheets(s.Ctx, s.Studio, s.Card.ID, 2000, "counted"))
	for _, it := range s.Shelf() {
		s.Must(stockroom.CountShelf(s.Ctx, s.Studio, it.ID, 2000, "counted"))
	}
	for range 6 {
		sent(s, 100)
	}
	_, parcels := s.Packed(s.Card.ID)
	card := parcels[0].Plan.Card
	start := speedtest.Processor(b)
	for b.Loop() {
		g, err := pricecards.GridOf(s.Ctx, s.Studio, card)
		if err != nil || g.Parcels != 600 {
			b.Fatalf("%d parcels: %v", g.Parcels, err)
		}
	}
	b.ReportMetric(float64(speedtest.Processor(b)-start)/float64(time.Millisecond)/float64(b.N), "cpu-ms/op")
}
