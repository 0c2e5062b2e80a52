package check

import (
	"math/big"

	"solander/measure"
	"solander/packing"
	"solander/packing/check/exact"
	"solander/tariff"
)

var billion = big.NewInt(1_000_000_000) // nm³ in a µm³

// girth is the way round the thickest part, rounded up. Source: docs/formats/tariff.md, section 2.
func (p *Packed) girth() measure.Length {
	if p.form == tariff.Cylinder && p.size.Width == p.size.Height {
		return measure.Length(exact.Saturated(exact.RoundUp(exact.Product(int64(p.size.Width), 3_141_593), big.NewInt(1_000_000))))
	}
	return 2 * (p.size.Width + p.size.Height)
}

// volume is L · W · H in nm³.
func volume(s tariff.Size) *big.Int {
	return exact.Product(int64(s.Length), int64(s.Width), int64(s.Height))
}

// measured is the value of a measure in its unit; a volume is in nm³, to be compared exactly.
func (p *Packed) measured(m tariff.Measure) (*big.Int, bool) {
	s := p.size
	n := func(v measure.Length) (*big.Int, bool) { return big.NewInt(int64(v)), true }
	switch m {
	case "length":
		return n(s.Length)
	case "width":
		return n(s.Width)
	case "height":
		return n(s.Height)
	case "girth":
		return n(p.girth())
	case "length+girth":
		return n(s.Length + p.girth())
	case "length+width+height":
		return n(s.Length + s.Width + s.Height)
	case "length+2diameter":
		return n(s.Length + 2*s.Width)
	case "volume":
		return volume(s), true
	case "mass":
		return big.NewInt(int64(p.mass)), true
	case "value":
		return big.NewInt(p.value), true
	}
	return new(big.Int), false
}

// unitOf is the unit in which a reason states a measure.
func (r *Reckoner) unitOf(m tariff.Measure) string {
	switch m {
	case "volume":
		return "um3"
	case "mass":
		return "ng"
	case "value":
		return r.problem.Currency
	}
	return "nm"
}

// within looks at a bound; when it does not hold it returns the measure and the number that breaks, as a
// reason states them (volumes in whole µm³, rounded up). The bound's form is not looked at.
func (p *Packed) within(b *tariff.Bound) (got, limit int64, ok bool) {
	value, known := p.measured(b.Measure)
	if !known {
		return 0, 0, false
	}
	shown, scale := value, int64(1)
	if b.Measure == "volume" {
		shown, scale = exact.RoundUp(value, billion), billion.Int64()
	}
	for _, limit := range []struct {
		number *int64
		holds  func(order int) bool
	}{
		{b.Min, func(order int) bool { return order >= 0 }},
		{b.Over, func(order int) bool { return order > 0 }},
		{b.Max, func(order int) bool { return order <= 0 }},
		{b.Under, func(order int) bool { return order < 0 }},
	} {
		if limit.number != nil && !limit.holds(value.Cmp(exact.Product(*limit.number, scale))) {
			return exact.Saturated(shown), *limit.number, false
		}
	}
	return 0, 0, true
}

// limits returns the limits of a service that the parcel breaks, in the card's order. A limit of another
// form is skipped.
func (r *Reckoner) limits(s *tariff.Service, p *Packed) []packing.Reason {
	var broken []packing.Reason
	for i := range s.Limits {
		b := &s.Limits[i]
		if b.Form != "" && b.Form != p.form {
			continue
		}
		if got, limit, ok := p.within(b); !ok {
			broken = append(broken, breaks("limit."+string(b.Measure), got, limit, r.unitOf(b.Measure)))
		}
	}
	return broken
}
