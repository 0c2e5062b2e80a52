package check

import (
	"strings"

	"solander/packing"
	"solander/tariff"
)

// zone is where a service's price for a destination stands.
type zone struct {
	name   string
	column int // of the price table
	table  *tariff.ZoneTable
	row    *tariff.ZoneRow
}

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

// findZone finds zone and price column. Source: docs/formats/tariff.md, sections 3, 5 and 9.2.
func findZone(o Offer, from, to packing.Place) (zone, []packing.Reason) {
	var z zone
	if o.service.Zones != "" {
		if z.table = tableFrom(o.card, o.service.Zones, from); z.table == nil {
			return z, []packing.Reason{breaks("zone.origin", 0, 0, "")}
		}
		if z.row = rowTo(z.table, to); z.row == nil {
			return z, []packing.Reason{breaks("zone.destination", 0, 0, "")}
		}
		z.name = z.row.Zone
	}
	columns := o.service.Prices.Zones
	if len(columns) == 0 {
		return z, nil
	}
	for i, name := range columns {
		if name == z.name {
			z.column = i
			return z, nil
		}
	}
	z.column = -1
	return z, []packing.Reason{breaks("price.zone", 0, 0, "")}
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
