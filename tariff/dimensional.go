package tariff

import (
	"math/big"

	"solander/measure"
)

// Mass returns the dimensional mass of a parcel, or 0 when its rounded volume does not exceed the
// threshold. One rounding, up to a multiple of Step.
// Source of the scheme: Domestic Mail Manual 123.1.4 (boxes and, by the factor, other shapes) and the
// price list of the US Postal Service of 2025-10-05, pages 5, 7, 11 and 15.
func (d *Dimensional) Mass(s Size, f Form) measure.Mass {
	r := d.Round.size(s)
	num, den := int64(1), int64(1)
	if f == Cylinder && d.Cylinder.Den != 0 {
		num, den = d.Cylinder.Num, d.Cylinder.Den
	}
	v := product(r.Length, r.Width, r.Height)
	if num <= den && !d.Over.cubicNanometres().less(v) {
		return 0
	}
	v1 := new(big.Int).Mul(v.big(), big.NewInt(num))
	over := d.Over.cubicNanometres().big()
	if v1.Cmp(over.Mul(over, big.NewInt(den))) <= 0 {
		return 0
	}
	// mass = v1/den / divisor.volume · divisor.mass, up to a multiple of step
	v1.Mul(v1, big.NewInt(int64(d.Divisor.Mass)))
	div := d.Divisor.Volume.cubicNanometres().big()
	step := big.NewInt(max(int64(d.Step), 1))
	div.Mul(div, big.NewInt(den)).Mul(div, step)
	q, rest := v1.QuoRem(v1, div, new(big.Int))
	if rest.Sign() > 0 {
		q.Add(q, big.NewInt(1))
	}
	q.Mul(q, step)
	mass := measure.Mass(1<<63 - 1)
	if q.IsInt64() {
		mass = measure.Mass(q.Int64())
	}
	if d.Most > 0 {
		mass = min(mass, d.Most)
	}
	return mass
}
