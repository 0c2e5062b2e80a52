package pdf

import "testing"

// BenchmarkDraw draws each of the sample papers.
func BenchmarkDraw(b *testing.B) {
	for name, paper := range samples() {
		b.Run(name, func(b *testing.B) {
			size := 0
			for b.Loop() {
				file, err := Draw(paper)
				if err != nil {
					b.Fatal(err)
				}
				size = len(file)
			}
			b.ReportMetric(float64(size), "B/file")
		})
	}
}
