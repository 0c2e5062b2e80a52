package scale_test

import (
	"math/bits"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"solander/measure"
	"solander/packing/scale"
)

// Source: a printed table of confidence intervals for the population median (a textbook's table A.7, n from 2 to 20, read), the
// narrowest interval of at least 95 % for each n; and the sign test's critical values, two-sided 5 %, from memory, beyond 20.
func TestRankAgainstATable(t *testing.T) {
	table := map[int]int{
		2: 0, 3: 0, 4: 0, 5: 0, 6: 1, 7: 1, 8: 1, 9: 2, 10: 2, 11: 2, 12: 3, 13: 3, 14: 3, 15: 4, 16: 4, 17: 5, 18: 5, 19: 5, 20: 6,
		23: 7, 25: 8, 40: 14, 50: 18, 100: 40,
	}
	for n, want := range table {
		if got := scale.Rank(n); got != want {
			t.Errorf("of %d the interval begins at %d, not %d", n, got, want)
		}
	}
}

// The interval holds what it says: of n throws of a coin, fewer than k or more than n − k heads come in at most one case of twenty, and
// one rank nearer they come more often. All cases of throws are counted, for small n.
func TestRankAgainstEveryCase(t *testing.T) {
	for n := 1; n <= 16; n++ {
		heads := make([]int, n+1)
		for x := range 1 << n {
			heads[bits.OnesCount(uint(x))]++
		}
		outside := func(k int) (n int) {
			for i := range k {
				n += heads[i] + heads[len(heads)-1-i]
			}
			return n
		}
		k := scale.Rank(n)
		if 20*outside(k) > 1<<n || 20*outside(k+1) <= 1<<n {
			t.Errorf("of %d: rank %d leaves %d of %d outside, the next %d", n, k, outside(k), 1<<n, outside(k+1))
		}
	}
}

// The data of Altman, Machin, Bryant and Gardner, Statistics with Confidence (2000), page 38, in tenths: 11 values, median 107.6,
// of which the second from each end bounds it: from 71.2 to 177 (98.8 %; the third, 93.5 %, does not).
func TestPublishedExample(t *testing.T) {
	b := scale.Of([]measure.Mass{660, 712, 830, 836, 1010, 1076, 1220, 1430, 1600, 1770, 4140})
	if want := (scale.Bias{Parcels: 11, Off: 1076, Low: 712, High: 1770, Quarter: 830, Three: 1600}); b != want {
		t.Errorf("%+v, not %+v", b, want)
	}
	if b := scale.Of(nil); b != (scale.Bias{}) {
		t.Errorf("of nothing: %+v", b)
	}
	for _, c := range [][3]measure.Mass{{1, 2, 2}, {-1, -2, -2}, {1, 3, 2}, {-1, 2, 1}, {1, -2, -1}} { // half a nanogram goes away from zero
		if got := scale.Of(c[:2]).Off; got != c[2] {
			t.Errorf("the middle of %d and %d is %d", c[0], c[1], got)
		}
	}
}

// Laws of the bias, of any differences: the median lies between its bounds; order does not matter; what is added to each is added to it;
// and a slip, however large, leaves it among the others.
func TestLawsOfABias(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := rapid.SliceOfN(rapid.Map(rapid.Int64Range(-1e13, 1e13), func(n int64) measure.Mass { return measure.Mass(n) }), 6, 60).Draw(t, "differences")
		b := scale.Of(d)
		if b.Low > b.Off || b.Off > b.High || b.Quarter > b.Off || b.Off > b.Three {
			t.Fatalf("%+v is out of order", b)
		}
		by := measure.Mass(rapid.Int64Range(0, 1e12).Draw(t, "by")) * 2 // of an odd sum the half goes away from zero, whichever side that is
		moved := make([]measure.Mass, len(d))
		for i, x := range d {
			moved[len(d)-1-i] = x + by
		}
		m := scale.Of(moved)
		if diff := m.Off - by - b.Off; diff < -1 || diff > 1 || m.Low-by != b.Low || m.High-by != b.High || m.Parcels != b.Parcels {
			t.Fatalf("moved by %d: %+v of %+v", by, m, b)
		}
		most := slices.Max(d)
		slip := scale.Of(append(slices.Clone(d), measure.MaxMass))
		if slip.Off > most || slip.Off < b.Off {
			t.Fatalf("one slip moves the median from %d to %d, beyond %d", b.Off, slip.Off, most)
		}
	})
}

// What is said, is said only from the least number on, beyond the scale's step, and when it is to one side.
func TestSure(t *testing.T) {
	g := measure.Gram
	same := func(n int, m measure.Mass) scale.Bias { return scale.Of(slices.Repeat([]measure.Mass{m}, n)) }
	for name, c := range map[string]struct {
		b    scale.Bias
		want bool
	}{
		"seven":               {same(7, 14*g), false},
		"eight":               {same(8, 14*g), true},
		"lighter":             {same(8, -14*g), true},
		"a step of the scale": {same(30, 5*g), false},
		"a nanogram beyond":   {same(30, 5*g+1), true},
		"one of eight below":  {scale.Of([]measure.Mass{-1, 14 * g, 14 * g, 14 * g, 14 * g, 14 * g, 14 * g, 14 * g}), false},
		"one of nine below":   {scale.Of([]measure.Mass{-1, 14 * g, 14 * g, 14 * g, 14 * g, 14 * g, 14 * g, 14 * g, 14 * g}), true},
		"to both sides":       {scale.Of([]measure.Mass{-90 * g, -80 * g, -70 * g, -60 * g, 20 * g, 60 * g, 70 * g, 80 * g, 90 * g}), false},
	} {
		if got := c.b.Sure(5 * g); got != c.want {
			t.Errorf("%s: sure is %v of %+v", name, got, c.b)
		}
	}
	if b := same(9, 14*g); b.Moved(14*g-5*g, 5*g) || !b.Moved(14*g-5*g-1, 5*g) || !b.Moved(-14*g, 5*g) {
		t.Error("it moved by another measure than the step")
	}
}

// The corrected mass is a whole gram or tenth of an ounce, as near as any, never below nothing, and correcting twice changes nothing.
func TestCorrected(t *testing.T) {
	for _, c := range []struct {
		own, off, want measure.Mass
		u              measure.System
	}{
		{10 * measure.Gram, 14_400 * measure.Milligram, 24 * measure.Gram, measure.Metric},
		{10 * measure.Gram, 14_500 * measure.Milligram, 25 * measure.Gram, measure.Metric},
		{10 * measure.Gram, -14 * measure.Gram, 0, measure.Metric},
		{measure.Ounce, measure.Ounce / 2, measure.Ounce * 3 / 2, measure.Imperial},
		{0, 14 * measure.Gram, 14_174_761_563, measure.Imperial}, // 0.5 oz of 28 349 523 125 ng, half up
		{0, measure.Ounce/20 - 1, 0, measure.Imperial},
	} {
		if got := (scale.Bias{Off: c.off}).Corrected(c.own, c.u); got-c.want > 1 || c.want-got > 1 {
			t.Errorf("%d and %d is %d, not %d", c.own, c.off, got, c.want)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		own := measure.Mass(rapid.Int64Range(0, 1e13).Draw(t, "own"))
		off := measure.Mass(rapid.Int64Range(-1e13, 1e13).Draw(t, "off"))
		u := rapid.SampledFrom(measure.Systems()).Draw(t, "units")
		step := measure.Gram
		if u == measure.Imperial {
			step = measure.Ounce/10 + 1
		}
		got := scale.Bias{Off: off}.Corrected(own, u)
		if far := got - max(0, own+off); got < 0 || 2*far > step+1 || -2*far > step+1 {
			t.Fatalf("%d and %d becomes %d, %d away", own, off, got, far)
		}
		if again := (scale.Bias{}).Corrected(got, u); again != got {
			t.Fatalf("%d corrected by nothing is %d", got, again)
		}
		back, err := measure.ParseMass(got.In(u), u)
		if err != nil || back != got || len(got.In(u)) > 16 {
			t.Fatalf("%d is shown as %q: %v", got, got.In(u), err)
		}
	})
}

func TestLikely(t *testing.T) {
	g := measure.Gram
	for w, want := range map[measure.Mass]bool{100 * g: true, 100*g - 1: false, 900 * g: true, 900*g + 1: false, 40 * measure.Kilogram: false, 3000 * g: false} {
		if got := scale.Likely(300*g, w); got != want {
			t.Errorf("%s of 300 g: %v", w.In(measure.Metric), got)
		}
	}
}
