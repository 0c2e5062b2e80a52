package layout

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"

	"solander/measure"
)

// rooms asks about n pieces of 5 to 20 in, to the sixteenth, in rooms that are a little larger than they are.
func rooms(n, count int) ([]Room, [][]Piece) {
	r := rand.New(rand.NewPCG(7, uint64(n)))
	unit := measure.Inch / 16
	var rooms []Room
	var all [][]Piece
	for range count {
		pieces := make([]Piece, n)
		area := 0.0
		for i := range pieces {
			w, h := 80+r.IntN(240), 80+r.IntN(240)
			pieces[i] = Piece{measure.Length(w) * unit, measure.Length(h) * unit, true}
			area += float64(w * h)
		}
		side := area * (1.05 + 0.4*r.Float64())
		w := 250 + r.IntN(300)
		rooms = append(rooms, Room{measure.Length(w) * unit, measure.Length(int(side)/w) * unit})
		all = append(all, pieces)
	}
	return rooms, all
}

func BenchmarkFits(b *testing.B) {
	for _, n := range []int{2, 3, 4, 6, 8, 10, 12} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			rooms, pieces := rooms(n, 32)
			i, yes := 0, 0
			for b.Loop() {
				_, ok, err := Fits(context.Background(), rooms[i%32], pieces[i%32])
				if err != nil {
					b.Fatal(err)
				}
				if ok {
					yes++
				}
				i++
			}
			b.ReportMetric(float64(yes)/float64(i), "fit")
		})
	}
}
