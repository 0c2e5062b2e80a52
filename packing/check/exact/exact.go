// Package exact is what the check reckons for itself, in whole numbers of any size: products and quotients, how heavy a
// sheet and how thick a roll is, and when a parcel arrives. Lengths are nanometres; it shares no code with the planner, the tariff engine or the physics of sheets.
package exact

import (
	"math"
	"math/big"
	"slices"
	"time"

	"solander/calendar"
	"solander/measure"
	"solander/packing"
	"solander/tariff"
)

// Product multiplies without overflow.
func Product(factors ...int64) *big.Int {
	n := big.NewInt(1)
	for _, f := range factors {
		n.Mul(n, big.NewInt(f))
	}
	return n
}

// RoundUp is a / b rounded up, for a ≥ 0 and b > 0.
func RoundUp(a, b *big.Int) *big.Int {
	q, rest := new(big.Int).QuoRem(a, b, new(big.Int))
	if rest.Sign() > 0 {
		q.Add(q, big.NewInt(1))
	}
	return q
}

// Saturated is n, or the largest int64.
func Saturated(n *big.Int) int64 {
	if !n.IsInt64() {
		return math.MaxInt64
	}
	return n.Int64()
}

// RolledUp is the smallest whole D with 4 · strip · thick · 10⁶ ≤ 3 141 592 · (D² − inner²).
// Source: docs/formats/physics.md, section 3.
func RolledUp(strip, thick, inner measure.Length) measure.Length {
	square := RoundUp(Product(4_000_000, int64(strip), int64(thick)), big.NewInt(3_141_592)) // smallest D² − inner²
	square.Add(square, Product(int64(inner), int64(inner)))
	d := new(big.Int).Sqrt(square)
	if new(big.Int).Mul(d, d).Cmp(square) < 0 {
		d.Add(d, big.NewInt(1))
	}
	return measure.Length(Saturated(d))
}

// perNanogram is square nanometres by milligrams per square metre: 10¹² of them are 1 ng.
var perNanogram = big.NewInt(1_000_000_000_000)

// MassOf is the mass of one copy: as given, or grammage × width × height rounded up to whole ng.
// Source: docs/formats/problem.md, section 4.
func MassOf(s *packing.Sheet) measure.Mass {
	if s.Grammage == 0 {
		return s.Mass
	}
	n := Product(int64(s.Width), int64(s.Height), int64(s.Grammage))
	return measure.Mass(Saturated(RoundUp(n, perNanogram)))
}

// More is n · (1000 + thousandths) / 1000, rounded up.
func More(n int64, thousandths int) int64 {
	return Saturated(RoundUp(Product(n, 1000+int64(thousandths)), big.NewInt(1000)))
}

// Arrival is the latest day of arrival: the max-th day counted after the day of hand-over.
// Source: docs/formats/tariff.md, section 8.
func Arrival(d *tariff.Days, handed calendar.Day, holidays []calendar.Day) calendar.Day {
	day := handed
	for left := d.Max; left > 0; {
		day = day.Add(1)
		if d.Counted != "calendar" && (day.Weekday() == time.Sunday || slices.Contains(holidays, day)) {
			continue
		}
		if d.Counted == "no-weekends-holidays" && day.Weekday() == time.Saturday {
			continue
		}
		left--
	}
	return day
}
