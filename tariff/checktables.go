package tariff

import (
	"fmt"

	"solander/fault"
)

func (k *checker) prices(p fault.Path, t *Prices) {
	k.at(p, known(t.By, []By{ByMass, ByVolume, ByPiece}), "by", "is not a kind of price table", "use mass, volume or piece")
	k.at(p, len(t.Rows) > 0, "rows", "is empty", "a table has at least one row")
	k.at(p, t.By != ByPiece || len(t.Rows) == 1, "rows", "has several rows", "a price by piece has one")
	k.rounding(p.To("round"), t.Round)
	k.at(p, t.Round.Step == 0 || t.By == ByVolume, "round", "belongs to prices by volume", "leave it out")
	columns := max(1, len(t.Zones))
	seen := map[string]bool{}
	for _, z := range t.Zones {
		k.at(p, !seen[z], "zones", "holds a zone twice", "each zone has one column")
		seen[z] = true
	}
	for i, r := range t.Rows {
		q := p.Entry("rows", i)
		if len(r.Prices) != columns {
			k.at(q, false, "prices", fmt.Sprintf("has %d prices for %d zones", len(r.Prices), columns), "one price, or null, for each zone; a comma parts them: 4.50 is written 450")
		}
		k.status(q, r.Status)
		k.at(q, (r.Mass > 0) == (t.By == ByMass), "mass", "is missing or does not belong here", "a step of mass stands in a table by mass, and only there")
		k.at(q, (r.Volume > 0) == (t.By == ByVolume), "volume", "is missing or does not belong here", "a step of volume stands in a table by volume, and only there")
		if i > 0 {
			k.at(q, t.By == ByPiece || r.Mass > t.Rows[i-1].Mass || r.Volume > t.Rows[i-1].Volume, "mass", "does not ascend", "sort the steps, each once")
		}
		for _, c := range r.Prices {
			k.at(q, c == NotCarried || amount(int64(c)), "prices", "holds a number that is no amount", "whole minor units, or null")
		}
		carried := map[string]bool{}
		for _, z := range r.Carried {
			k.at(q, !carried[z] && (seen[z] || len(t.Zones) == 0 && z == ""), "carried", "names no zone of the table, or one twice", "name zones of this table, each once")
			carried[z] = true
		}
	}
}

func (k *checker) rounding(p fault.Path, r Rounding) {
	k.at(p, r.Step >= 0, "step", "is negative", "a length")
	k.at(p, (r.Step > 0) == (r.Mode != ""), "mode", "and step go together", "give both or neither")
	k.at(p, r.Mode == "" || known(r.Mode, []Mode{Nearest, Up, Down}), "mode", "is not a rounding", "use nearest, up or down")
}

func (k *checker) days(p fault.Path, d *Days) {
	if d == nil {
		return
	}
	k.at(p, d.Min >= 0 && d.Max >= d.Min && d.Max <= 365, "max", "is not a number of days", "0 ≤ min ≤ max ≤ 365")
	k.at(p, known(d.Counted, []Counting{CalendarDays, DeliveryDays, WeekDays}), "counted", "is not a way to count days", "use calendar, no-sundays-holidays or no-weekends-holidays")
}

func (k *checker) dimensional(p fault.Path, d *Dimensional) {
	if d == nil {
		return
	}
	k.at(p, d.Divisor.Volume > 0 && d.Divisor.Mass > 0, "divisor", "is zero", "so much volume counts as so much mass")
	k.at(p, d.Step >= 0, "step", "is negative", "the mass is rounded up to a multiple of it")
	k.at(p, d.Most >= 0, "most", "is negative", "a mass")
	k.rounding(p.To("round"), d.Round)
	c := d.Cylinder
	k.at(p, c == Fraction{} || c.Num > 0 && c.Den > 0 && c.Num <= 1_000_000 && c.Den <= 1_000_000, "cylinder", "is not a fraction", "num and den from 1 to 1000000")
}

func (k *checker) cover(p fault.Path, c *Cover) {
	if c == nil {
		return
	}
	for _, n := range []int64{c.Included, c.Per, c.PerPrice} {
		k.at(p, amount(n), "included", "or another number is no amount", "whole minor units")
	}
	k.at(p, c.Most == nil || amount(*c.Most), "most", "is no amount", "whole minor units")
	k.at(p, c.Per > 0 || c.PerPrice == 0, "per_price", "stands without per", "say for how much cover it is the price")
	k.status(p, c.Status)
	last := int64(0)
	for i, s := range c.Steps {
		k.at(p.Entry("steps", i), s.UpTo > last && amount(s.UpTo) && amount(s.Price), "up_to", "does not ascend or is no amount", "sort the steps")
		last = s.UpTo
	}
}
