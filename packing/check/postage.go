package check

import (
	"math"
	"math/big"

	"solander/measure"
	"solander/packing"
	"solander/packing/check/exact"
	"solander/tariff"
)

// postage finds the price in the service's table. Source: docs/formats/tariff.md, section 5.
func postage(s *tariff.Service, p *Packed, column int) (row *tariff.Row, price int64, mass measure.Mass, broken []packing.Reason) {
	rows := s.Prices.Rows
	fits, got, unit := func(*tariff.Row) bool { return true }, int64(0), ""
	step := func(*tariff.Row) int64 { return 0 }
	switch s.Prices.By {
	case tariff.ByMass:
		mass = billed(s, p)
		got, unit = int64(mass), "ng"
		step = func(r *tariff.Row) int64 { return int64(r.Mass) }
		fits = func(r *tariff.Row) bool { return mass <= r.Mass }
	case tariff.ByVolume:
		v := volume(roundedSize(p.size, s.Prices.Round))
		got, unit = exact.Saturated(exact.RoundUp(v, billion)), "um3"
		step = func(r *tariff.Row) int64 { return int64(r.Volume) }
		fits = func(r *tariff.Row) bool { return v.Cmp(new(big.Int).Mul(big.NewInt(int64(r.Volume)), billion)) <= 0 }
	}
	for i := range rows {
		if !fits(&rows[i]) {
			continue
		}
		if column >= len(rows[i].Prices) || rows[i].Prices[column] == tariff.NotCarried {
			return &rows[i], 0, mass, []packing.Reason{breaks("price.dash", got, step(&rows[i]), unit)}
		}
		return &rows[i], int64(rows[i].Prices[column]), mass, nil
	}
	last := int64(0)
	if len(rows) > 0 {
		last = step(&rows[len(rows)-1])
	}
	return nil, 0, mass, []packing.Reason{breaks("price.step", got, last, unit)}
}

// surcharges are those that count, in the card's order. Source: docs/formats/tariff.md, section 7.
func surcharges(s *tariff.Service, p *Packed) []*tariff.Surcharge {
	largest := map[string]*tariff.Surcharge{}
	var applying []*tariff.Surcharge
	for i := range s.Surcharges {
		c := &s.Surcharges[i]
		if !applies(c, p) {
			continue
		}
		applying = append(applying, c)
		if old := largest[c.Group]; old == nil || c.Amount > old.Amount {
			largest[c.Group] = c
		}
	}
	var out []*tariff.Surcharge
	for _, c := range applying {
		if c.Group == "" || largest[c.Group] == c {
			out = append(out, c)
		}
	}
	return out
}

func applies(c *tariff.Surcharge, p *Packed) bool {
	if c.Form != "" && c.Form != p.form || c.Stiff != nil && *c.Stiff != p.stiff {
		return false
	}
	for i := range c.When {
		if c.When[i].Form != "" && c.When[i].Form != p.form {
			return false
		}
		if _, _, ok := p.within(&c.When[i]); !ok {
			return false
		}
	}
	return true
}

// cover is the price of cover for a value; ok is false when that much is not sold, and most is then the
// most that is. Source: docs/formats/tariff.md, section 7.
func cover(c *tariff.Cover, value int64) (price, most int64, ok bool) {
	if c == nil {
		return 0, 0, value <= 0
	}
	if value <= c.Included {
		return 0, 0, true
	}
	last := tariff.CoverStep{}
	if len(c.Steps) > 0 {
		last = c.Steps[len(c.Steps)-1]
	}
	switch {
	case c.Most != nil:
		most = *c.Most
	case c.Per == 0:
		most = max(last.UpTo, c.Included)
	default:
		most = math.MaxInt64
	}
	if value > most {
		return 0, most, false
	}
	for _, step := range c.Steps {
		if value <= step.UpTo {
			return step.Price, most, true
		}
	}
	if c.Per == 0 {
		return 0, last.UpTo, false
	}
	parts := exact.RoundUp(big.NewInt(value-last.UpTo), big.NewInt(c.Per))
	parts.Mul(parts, big.NewInt(c.PerPrice))
	return exact.Saturated(parts.Add(parts, big.NewInt(last.Price))), most, true
}
