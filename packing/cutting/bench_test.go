package cutting

import (
	"context"
	"testing"
)

func BenchmarkMostValuable(b *testing.B) {
	for _, in := range append(gcut(b), cgcut(b)...) {
		b.Run(in.name, func(b *testing.B) {
			for b.Loop() {
				if c, err := MostValuable(context.Background(), in.sheet, in.kinds, 0); err != nil || c.Value != in.optimum {
					b.Fatal(c.Value, err)
				}
			}
		})
	}
}

func BenchmarkPlan(b *testing.B) {
	stock, demand := manyBoards(2, 5)
	for b.Loop() {
		if p, err := Plan(context.Background(), stock, demand, mm); err != nil || !p.Proven {
			b.Fatal(p, err)
		}
	}
}
