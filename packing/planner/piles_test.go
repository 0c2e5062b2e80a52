package planner

import (
	"math/rand/v2"
	"sync/atomic"
	"testing"

	"solander/measure"
)

// The search for the thinnest pile ends early where a bar is met. It comes to what is found when every thickness is looked at,
// for which no bar is set.
func TestBarsLeaveTheThinnestPile(t *testing.T) {
	d := rand.New(rand.NewPCG(1, 20261129))
	side := func(more int) measure.Length { return measure.Length(2+d.IntN(more)) * measure.Millimetre }
	for n := range 300 {
		spreads := [2]*spread{}
		between, beside := measure.Length(d.IntN(2))*measure.Millimetre, 2+d.IntN(3)
		for i := range spreads {
			spreads[i] = newSpread(laying{beside: beside, between: between, all: i == 1}, &atomic.Bool{}, true)
		}
		short := 5*measure.Millimetre + side(4)
		room := oblong{short + side(5), short}
		var feet []foot
		var copies []int
		for range 3 + d.IntN(4) {
			a, b := side(5), side(5)
			feet, copies = append(feet, foot{max(a, b), min(a, b), side(3)}), append(copies, 1+d.IntN(2))
		}
		got := spreads[0].quarters(room).piles(spreads[0].lots(feet, copies))
		var want *pile
		for p := spreads[1].quarters(room).piles(spreads[1].lots(feet, copies)); p != nil; p = p.also {
			if want == nil || p.thick < want.thick {
				want = p
			}
		}
		if want == nil || got == nil || got.thick != want.thick || got.tiers != want.tiers || got.also != nil {
			t.Fatalf("problem %d: %+v, not %+v", n, got, want)
		}
	}
}
