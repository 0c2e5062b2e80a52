package check

import (
	"math/big"

	"solander/measure"
	"solander/packing"
	"solander/packing/check/exact"
	"solander/packing/check/rates"
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
		v := volume(rates.Rounded(p.size, s.Prices.Round))
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

// zoneOf is the zone of a column of the price table, empty where it has one column for all.
func zoneOf(s *tariff.Service, column int) string {
	if len(s.Prices.Zones) == 0 {
		return ""
	}
	return s.Prices.Zones[column]
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
