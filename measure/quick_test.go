package measure

import (
	"testing"

	"pgregory.net/rapid"
)

// What is printed in 64 bits is what fractions of any size print.
func TestPrintingInSixtyFourBits(t *testing.T) {
	units := []int64{int64(Millimetre), int64(Mil), int64(Inch), int64(Gram), int64(Kilogram), int64(Ounce)}
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.OneOf(rapid.Int64Range(0, 1<<53), rapid.Int64Range(0, 2_000_000), rapid.Map(rapid.Int64Range(0, 4_000_000), func(k int64) int64 { return (k*int64(Ounce) + 500) / 1000 })).Draw(t, "n")
		unit := rapid.SampledFrom(units).Draw(t, "unit")
		if got, want := shortest(n, unit), shortestOfAny(n, unit); got != want {
			t.Errorf("%d/%d: %s, want %s", n, unit, got, want)
		}
		if m := Mass(n); tidyOunces(m) != tidyOuncesOfAny(m) {
			t.Errorf("%d ng: thousandths of an ounce %v", n, tidyOunces(m))
		}
	})
}
