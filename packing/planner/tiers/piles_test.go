package tiers

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
		spreads := [2]*Spread{}
		between, beside := measure.Length(d.IntN(2))*measure.Millimetre, 2+d.IntN(3)
		for i := range spreads {
			spreads[i] = NewSpread(Laying{Beside: beside, Between: between, All: i == 1}, &atomic.Bool{}, true)
		}
		short := 5*measure.Millimetre + side(4)
		room := Oblong{short + side(5), short}
		var feet []Foot
		var copies []int
		for range 3 + d.IntN(4) {
			a, b := side(5), side(5)
			feet, copies = append(feet, Foot{max(a, b), min(a, b), side(3)}), append(copies, 1+d.IntN(2))
		}
		got := spreads[0].quarters(room).piles(spreads[0].Lots(feet, copies))
		var want *Pile
		for p := spreads[1].quarters(room).piles(spreads[1].Lots(feet, copies)); p != nil; p = p.also {
			if want == nil || p.Thick < want.Thick {
				want = p
			}
		}
		if want == nil || got == nil || got.Thick != want.Thick || got.Tiers != want.Tiers || got.also != nil {
			t.Fatalf("problem %d: %+v, not %+v", n, got, want)
		}
	}
}
