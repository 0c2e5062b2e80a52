package onesheet_test

import (
	"context"
	"testing"

	"solander/packing/cutting/onesheet"
)

func BenchmarkMostValuable(b *testing.B) {
	for _, in := range append(gcut(b), cgcut(b)...) {
		b.Run(in.name, func(b *testing.B) {
			for b.Loop() {
				if c, err := onesheet.MostValuable(context.Background(), in.sheet, in.kinds, 0); err != nil || c.Value != in.optimum {
					b.Fatal(c.Value, err)
				}
			}
		})
	}
}
