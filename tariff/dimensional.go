package tariff

import (
	"math"
	"math/big"
	"math/bits"

	"solander/measure"
)

// Mass returns the dimensional mass of a parcel, or 0 when its rounded volume does not exceed the
// threshold. One rounding, up to a multiple of Step.
// Source of the scheme: Domestic Mail Manual 123.1.4 (boxes and, by the factor, other shapes) and the
// price list of the US Postal Service of 2025-10-05, pages 5, 7, 11 and 15.
func (d *Dimensional) Mass(s Size, f Form) measure.Mass {
	r := d.Round.size(s)
	num, den := uint64(1), uint64(1)
	if f == Cylinder && d.Cylinder.Den != 0 {
		num, den = lowest(uint64(d.Cylinder.Num), uint64(d.Cylinder.Den))
	}
	v := product(r.Length, r.Width, r.Height)
	if num <= den && !d.Over.cubicNanometres().less(v) {
		return 0
	}
	mass, ok := d.short(v, num, den)
	if !ok {
		mass = d.long(v, num, den)
	}
	if d.Most > 0 {
		mass = min(mass, d.Most)
	}
	return mass
}

// lowest is a fraction in its lowest terms.
func lowest(num, den uint64) (uint64, uint64) {
	a, b := num, den
	for b > 0 {
		a, b = b, a%b
	}
	return num / max(a, 1), den / max(a, 1)
}

// nanometres is how many nm³ are a µm³.
const nanometres = 1_000_000_000

// short is the mass of a volume of v · num/den nm³, in 128 bits; false where these do not bear it. A ceiling of a quotient may be
// taken factor by factor of the divisor: ⌈⌈x/a⌉/b⌉ = ⌈x/(a·b)⌉.
func (d *Dimensional) short(v wide, num, den uint64) (measure.Mass, bool) {
	x, ok := v.times(num)
	if !ok {
		return 0, false
	}
	if hi, lo := bits.Mul64(uint64(d.Over), den); !(wide{hi, lo}).less(x.over(nanometres)) {
		return 0, true
	}
	step := uint64(max(d.Step, 1))
	each, steps := lowest(uint64(d.Divisor.Mass), step)
	if x, ok = x.times(each); !ok {
		return 0, false
	}
	div := wide{0, uint64(d.Divisor.Volume)}
	for _, by := range []uint64{den, steps} {
		if div, ok = div.times(by); !ok || div.hi > 0 {
			return 0, false
		}
	}
	q := x.over(nanometres).over(div.lo)
	hi, lo := bits.Mul64(q.lo, step)
	if q.hi > 0 || hi > 0 || lo > math.MaxInt64 {
		return 0, false
	}
	return measure.Mass(lo), true
}

// long is short for numbers of any length; what no mass can hold is the largest.
func (d *Dimensional) long(v wide, num, den uint64) measure.Mass {
	of := func(n uint64) *big.Int { return new(big.Int).SetUint64(n) }
	v1 := v.big()
	v1.Mul(v1, of(num))
	over := d.Over.cubicNanometres().big()
	if v1.Cmp(over.Mul(over, of(den))) <= 0 {
		return 0
	}
	// mass = v1/den / divisor.volume · divisor.mass, up to a multiple of step
	v1.Mul(v1, big.NewInt(int64(d.Divisor.Mass)))
	div := d.Divisor.Volume.cubicNanometres().big()
	step := big.NewInt(max(int64(d.Step), 1))
	div.Mul(div, of(den)).Mul(div, step)
	q, rest := v1.QuoRem(v1, div, new(big.Int))
	if rest.Sign() > 0 {
		q.Add(q, big.NewInt(1))
	}
	q.Mul(q, step)
	if !q.IsInt64() {
		return math.MaxInt64
	}
	return measure.Mass(q.Int64())
}
