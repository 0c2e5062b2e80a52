package check

import (
	"math/big"

	"solander/measure"
	"solander/packing/check/exact"
	"solander/tariff"
)

// rounded rounds a length to a multiple of a step. Source: docs/formats/tariff.md, section 6.1.
func rounded(l measure.Length, r tariff.Rounding) measure.Length {
	if r.Step <= 0 {
		return l
	}
	down := l / r.Step * r.Step
	rest := l - down
	switch r.Mode {
	case "down":
		return down
	case "up":
		if rest > 0 {
			return down + r.Step
		}
	case "nearest":
		if rest >= r.Step-rest {
			return down + r.Step
		}
	}
	if rest == 0 || r.Mode == "nearest" {
		return down
	}
	return l
}

func roundedSize(s tariff.Size, r tariff.Rounding) tariff.Size {
	return tariff.Size{Length: rounded(s.Length, r), Width: rounded(s.Width, r), Height: rounded(s.Height, r)}
}

// dimensional is the mass that stands for the parcel's volume; 0 when its volume does not count.
// Source: docs/formats/tariff.md, section 6.
func dimensional(d *tariff.Dimensional, p *Packed) measure.Mass {
	num, den := volume(roundedSize(p.size, d.Round)), big.NewInt(1)
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
