package choosing_test

import (
	"testing"

	"solander/choosing"
	"solander/internal/bed"
	"solander/planning"
	"solander/studio"
	"solander/tariff/cards"
)

// BenchmarkWays compares the ways to send an order of one print and of three, beyond its plan, which is known; the bundled price cards.
// The aim is 50 ms.
func BenchmarkWays(b *testing.B) {
	all, err := cards.All()
	if err != nil {
		b.Fatal(err)
	}
	for name, prints := range map[string]int{"one print": 1, "three prints": 3} {
		b.Run(name, func(b *testing.B) {
			d := bed.New(b)
			var eds []int64
			for range prints {
				eds = append(eds, d.Heron.ID)
			}
			o := d.Ready(eds...)
			st := d.Open(d.Path)
			var found choosing.Choices
			for b.Loop() {
				b.StopTimer()
				s := studio.New(st, studio.Options{Clock: d.Clock.Now, Cards: studio.Given(all)}) // nothing is remembered
				v, err := planning.Plan(d.Ctx, s, o.ID, o.Placed)
				d.Must(err)
				b.StartTimer()
				found, err = choosing.Ways(d.Ctx, s, v)
				d.Must(err)
			}
			if len(found.Ways) < 2 {
				b.Fatalf("%d ways", len(found.Ways))
			}
			b.ReportMetric(float64(len(found.Ways)), "ways")
		})
	}
}
