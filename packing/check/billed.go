package check

import (
	"math/big"

	"solander/measure"
	"solander/packing/check/exact"
	"solander/packing/check/rates"
	"solander/tariff"
)

// dimensional is the mass that stands for the parcel's volume; 0 when its volume does not count.
// Source: docs/formats/tariff.md, section 6.
func dimensional(d *tariff.Dimensional, p *Packed) measure.Mass {
	num, den := volume(rates.Rounded(p.size, d.Round)), big.NewInt(1)
	if p.form == tariff.Cylinder && d.Cylinder != (tariff.Fraction{}) {
		num.Mul(num, big.NewInt(d.Cylinder.Num))
		den.SetInt64(d.Cylinder.Den)
	}
	den.Mul(den, billion) // num / den is now in µm³
	if num.Cmp(new(big.Int).Mul(den, big.NewInt(int64(d.Over)))) <= 0 {
		return 0
	}
	step := max(int64(d.Step), 1)
	num.Mul(num, big.NewInt(int64(d.Divisor.Mass)))
	den.Mul(den, exact.Product(int64(d.Divisor.Volume), step))
	mass := exact.Saturated(new(big.Int).Mul(exact.RoundUp(num, den), big.NewInt(step)))
	if d.Most > 0 {
		mass = min(mass, int64(d.Most))
	}
	return measure.Mass(mass)
}

// billed is the mass by which a table by mass is read.
func billed(s *tariff.Service, p *Packed) measure.Mass {
	if s.Dimensional == nil {
		return p.mass
	}
	return max(p.mass, dimensional(s.Dimensional, p))
}
