package tariff

import (
	"errors"
	"slices"
	"strings"

	"solander/fault"
)

// Postcode returns a postcode as it is compared: without spaces and hyphens, a–z as capitals.
func Postcode(text string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == ' ' || r == '-':
			return -1
		case r >= 'a' && r <= 'z':
			return r - 'a' + 'A'
		}
		return r
	}, text)
}

func (o Origin) matches(p Place) bool {
	return (o.Country == "" || o.Country == p.Country) && strings.HasPrefix(Postcode(p.Postcode), Postcode(o.Prefix))
}

func (r ZoneRow) matches(country, postcode string) bool {
	if r.Country != "" && r.Country != country {
		return false
	}
	n := len(r.From)
	if n == 0 {
		return true
	}
	return len(postcode) >= n && r.From <= postcode[:n] && postcode[:n] <= r.To
}

// Find returns the first row that a destination matches, or nil.
func (t *ZoneTable) Find(to Place) *ZoneRow {
	postcode := Postcode(to.Postcode)
	for i := range t.Rows {
		if t.Rows[i].matches(to.Country, postcode) {
			return &t.Rows[i]
		}
	}
	return nil
}

// From reports whether the table is for parcels from a place.
func (t *ZoneTable) From(p Place) bool { return t.Origin.matches(p) }

// Check reports every fault of a table as faults whose Field begins with path.
func (t *ZoneTable) Check(path string) error {
	var whole *fault.Path
	k := &checker{}
	k.zones(whole.To(path), t)
	return errors.Join(k.faults...)
}

// HasZones reports whether the card has a zone table of a name, from wherever.
func (c *Card) HasZones(name string) bool {
	return slices.ContainsFunc(c.Zones, func(z ZoneTable) bool { return z.Name == name })
}

// Table returns the first zone table of a name that starts from an origin, or nil.
func (c *Card) Table(name string, from Place) *ZoneTable {
	for i := range c.Zones {
		if c.Zones[i].Name == name && c.Zones[i].Origin.matches(from) {
			return &c.Zones[i]
		}
	}
	return nil
}

// OneWay returns the card with zone tables that hold only what concerns a way: of each name the table that
// starts from the origin, with the row of the destination. A table without such a row stays whole, so
// that the reason is the same.
func (c *Card) OneWay(from, to Place) Card {
	seen := map[string]bool{}
	out := *c
	out.Zones = nil
	for _, z := range c.Zones {
		if seen[z.Name] {
			continue
		}
		seen[z.Name] = true
		if table := c.Table(z.Name, from); table != nil {
			z = *table
			if row := z.Find(to); row != nil {
				z.Rows = []ZoneRow{*row}
			}
		}
		out.Zones = append(out.Zones, z)
	}
	return out
}
