// Package rates is what the check reads of a price card for itself: whether a service goes somewhere and in which zone, what cover costs, how
// sizes are rounded. It shares no code with the tariff engine.
package rates

import (
	"slices"
	"strings"

	"solander/packing"
	"solander/tariff"
)

// Zone is where a service's price for a destination stands.
type Zone struct {
	Name   string
	Column int // of the price table; -1 = there is none
	Table  *tariff.ZoneTable
	Row    *tariff.ZoneRow
}

// broken is a documented rule that does not hold.
func broken(rule string) packing.Reason { return packing.Reason{Rule: rule} }

// normal is a postcode as it is compared. Source: docs/formats/problem.md, section 1.
func normal(postcode string) string {
	return strings.Map(func(c rune) rune {
		switch {
		case c == ' ' || c == '-':
			return -1
		case c >= 'a' && c <= 'z':
			return c - 'a' + 'A'
		}
		return c
	}, postcode)
}

// Find finds zone and price column of a service of a card. Source: docs/formats/tariff.md, sections 3, 5 and 9.2.
func Find(card *tariff.Card, service *tariff.Service, from, to packing.Place) (Zone, []packing.Reason) {
	var z Zone
	if service.Zones != "" {
		if z.Table = tableFrom(card, service.Zones, from); z.Table == nil {
			return z, []packing.Reason{broken("zone.origin")}
		}
		if z.Row = rowTo(z.Table, to); z.Row == nil {
			return z, []packing.Reason{broken("zone.destination")}
		}
		z.Name = z.Row.Zone
	}
	columns := service.Prices.Zones
	if len(columns) == 0 {
		return z, nil
	}
	for i, name := range columns {
		if name == z.Name {
			z.Column = i
			return z, nil
		}
	}
	z.Column = -1
	return z, []packing.Reason{broken("price.zone")}
}

func tableFrom(card *tariff.Card, name string, from packing.Place) *tariff.ZoneTable {
	for i := range card.Zones {
		t := &card.Zones[i]
		if t.Name == name && (t.Origin.Country == "" || t.Origin.Country == from.Country) &&
			strings.HasPrefix(normal(from.Postcode), normal(t.Origin.Prefix)) {
			return t
		}
	}
	return nil
}

func rowTo(t *tariff.ZoneTable, to packing.Place) *tariff.ZoneRow {
	code := normal(to.Postcode)
	for i := range t.Rows {
		row := &t.Rows[i]
		if row.Country != "" && row.Country != to.Country {
			continue
		}
		if row.From == "" {
			return row
		}
		if n := len(row.From); len(code) >= n && code[:n] >= row.From && code[:n] <= row.To {
			return row
		}
	}
	return nil
}

// Destination looks whether a service goes there at all.
func Destination(s *tariff.Service, from, to packing.Place) []packing.Reason {
	if s.Abroad != nil && *s.Abroad != (from.Country != to.Country) ||
		len(s.Countries) > 0 && !slices.Contains(s.Countries, to.Country) {
		return []packing.Reason{broken("service.destination")}
	}
	return nil
}
