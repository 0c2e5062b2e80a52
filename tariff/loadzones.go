package tariff

import "solander/measure"

// readZones adds the tables of a zone file to the card, in the order of their first rows.
func (l *loader) readZones(file string, c *Card) error {
	t, err := l.readTable(file, zoneHeader)
	if err != nil {
		return err
	}
	type key struct {
		name   string
		origin Origin
	}
	at := map[key]int{}
	for i := range t.rows {
		k := key{t.get(i, "table"), Origin{t.get(i, "origin_country"), t.get(i, "origin_prefix")}}
		n, ok := at[k]
		if !ok {
			n = len(c.Zones)
			at[k] = n
			c.Zones = append(c.Zones, ZoneTable{Name: k.name, Origin: k.origin, Source: t.get(i, "source"), Status: t.get(i, "status")})
		}
		z := &c.Zones[n]
		if z.Source != t.get(i, "source") || z.Status != t.get(i, "status") {
			return t.bad(i, "source", "give all rows of a table one source and status", "the table has two sources or statuses")
		}
		row := ZoneRow{Country: t.get(i, "country"), From: t.get(i, "from"), To: t.get(i, "to"), Zone: t.get(i, "zone")}
		most, err := t.number(i, "most")
		if err != nil {
			return err
		}
		if most != "" {
			if row.Most, err = measure.ParseMass(most, ""); err != nil {
				return t.in(i, "most", err)
			}
		}
		z.Rows = append(z.Rows, row)
	}
	return nil
}
