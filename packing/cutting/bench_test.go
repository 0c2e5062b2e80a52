package cutting

import (
	"context"
	"testing"
)

func BenchmarkPlan(b *testing.B) {
	stock, demand := manyBoards(2, 5)
	for b.Loop() {
		if p, err := Plan(context.Background(), stock, demand, mm); err != nil || !p.Proven {
			b.Fatal(p, err)
		}
	}
}
