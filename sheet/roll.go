package sheet

import (
	"math/bits"

	"solander/measure"
)

// π is taken as 3.141592, a little too small, so that a roll comes out a little too thick.
const (
	piNum = 3_141_592
	piDen = 1_000_000
)

type u128 struct{ hi, lo uint64 }

func mul(a, b uint64) u128 {
	hi, lo := bits.Mul64(a, b)
	return u128{hi, lo}
}

func (a u128) times(n uint64) u128 {
	hi, lo := bits.Mul64(a.lo, n)
	return u128{a.hi*n + hi, lo}
}

func (a u128) minus(b u128) u128 {
	lo, borrow := bits.Sub64(a.lo, b.lo, 0)
	hi, _ := bits.Sub64(a.hi, b.hi, borrow)
	return u128{hi, lo}
}

func (a u128) notOver(b u128) bool { return a.hi < b.hi || a.hi == b.hi && a.lo <= b.lo }

// Fits reports whether a strip of a length and thickness, wound without gaps round a hollow of diameter
// inner, keeps within diameter outer: 4 · strip · thickness ≤ π · (outer² − inner²), a spiral of constant
// pitch. Compared exactly, with π rounded down. Lengths must not be negative and below 10 km.
func Fits(strip, thickness, inner, outer measure.Length) bool {
	if outer < inner {
		return false
	}
	need := mul(uint64(strip), uint64(thickness)).times(4 * piDen)
	have := mul(uint64(outer), uint64(outer)).minus(mul(uint64(inner), uint64(inner))).times(piNum)
	return need.notOver(have)
}

// RollDiameter returns the smallest outer diameter in whole nanometres that Fits: rounded up.
func RollDiameter(strip, thickness, inner measure.Length) measure.Length {
	low, high := inner, inner+1
	for !Fits(strip, thickness, inner, high) {
		low, high = high, high*2
	}
	if Fits(strip, thickness, inner, low) {
		return low
	}
	for high-low > 1 {
		mid := low + (high-low)/2
		if Fits(strip, thickness, inner, mid) {
			high = mid
		} else {
			low = mid
		}
	}
	return high
}
