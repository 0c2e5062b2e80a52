package pricecards

import (
	"context"
	"slices"

	"solander/fault"
	"solander/studio"
	"solander/tariff"
	"solander/tariff/zonelist"
)

// ZonesIn is a list of zones as it was pasted.
type ZonesIn struct {
	Table  string // the name that the cards' services know it by
	Text   string
	Source string
	Sure   bool // take it though something is in doubt
}

// ZonesOf says what the zones of the studio's own postcode are.
type ZonesOf struct {
	Origin tariff.Place       `json:"origin"`
	Own    []tariff.ZoneTable `json:"own"`    // pasted
	Tables []string           `json:"tables"` // names of tables that the cards here have by postcode
	Chart  map[string]string  `json:"chart"`  // of those without a pasted one: the status of the table that is used, "" = there is none
}

// By says in words by what parcels are priced where zones of a name hold.
func (z ZonesOf) By(name string) string {
	if slices.ContainsFunc(z.Own, func(t tariff.ZoneTable) bool { return t.Name == name && t.From(z.Origin) }) {
		return "by the list that you pasted"
	}
	switch z.Chart[name] {
	case "":
		return "none from here, so nothing can be priced by them"
	case "estimated":
		return "estimated by distance; one parcel in fourteen may lie one zone off"
	}
	return "by the chart of the price card"
}

// Zones returns what the zones of the studio's own postcode are.
func Zones(ctx context.Context, s *studio.Studio) (out ZonesOf, err error) {
	err = read(ctx, s, func(t *PriceCards) error {
		out, err = t.zones(s)
		return err
	})
	return out, err
}

func (t *PriceCards) zones(s *studio.Studio) (ZonesOf, error) {
	out := ZonesOf{Origin: t.origin(), Own: t.Set.Zones, Chart: map[string]string{}}
	all, err := s.AllCards(t.Turn)
	if err != nil {
		return out, err
	}
	for _, c := range s.WithZones(all, out.Origin, nil) {
		for _, z := range c.Zones {
			if !studio.Here(c, t.Set) || !slices.ContainsFunc(z.Rows, func(r tariff.ZoneRow) bool { return r.From != "" }) || slices.Contains(out.Tables, z.Name) {
				continue
			}
			out.Tables = append(out.Tables, z.Name)
			if used := c.Table(z.Name, out.Origin); used != nil {
				out.Chart[z.Name] = used.Status
			}
		}
	}
	return out, nil
}

func (t *PriceCards) origin() tariff.Place {
	return studio.PlaceOf(t.Set.Address)
}

// ReadZones reads a pasted list and says what is in doubt; nothing is kept.
func ReadZones(ctx context.Context, s *studio.Studio, in ZonesIn) (l zonelist.List, err error) {
	err = read(ctx, s, func(t *PriceCards) error {
		l, err = t.readZones(s, in)
		return err
	})
	return l, err
}

func (t *PriceCards) readZones(s *studio.Studio, in ZonesIn) (zonelist.List, error) {
	all, err := s.AllCards(t.Turn)
	if err != nil {
		return zonelist.List{}, err
	}
	var priced []string
	known := false
	for _, c := range all {
		if !studio.Here(c, t.Set) {
			continue
		}
		known = known || c.HasZones(in.Table)
		for _, x := range c.Services {
			if x.Zones == in.Table {
				priced = append(priced, x.Prices.Zones...)
			}
		}
	}
	if !known {
		return zonelist.List{}, fault.Invalidf("table", "no price card here has zones %.40q", in.Table).ToMend("choose one of the list")
	}
	slices.Sort(priced)
	at := t.origin()
	return zonelist.Read(in.Text, at.Country, s.Prefixes(at), slices.Compact(priced)), nil
}

// KeepZones keeps a pasted list as the zones from the studio's own postcode, in the place of one of that name. Plans go by it from
// then on. Faults: Invalid, all that is wrong; and what is in doubt, unless she is sure.
func KeepZones(ctx context.Context, s *studio.Studio, in ZonesIn) error {
	return write(ctx, s, func(t *PriceCards) error {
		l, err := t.readZones(s, in)
		if err != nil {
			return err
		}
		var wrong fault.List
		wrong.Check(in.Source != "", "source", "is missing", "say where the zones stand: the operator's page and its day")
		for _, d := range l.Doubts {
			if d.Bars {
				wrong.Add(fault.Invalidf("text", "%s", d.What).ToMend("%s", d.Mend))
			}
		}
		if wrong.Err() == nil && len(l.Doubts) > 0 && !in.Sure {
			wrong.Add(fault.Invalidf("sure", "%s may be slips", fault.Count(len(l.Doubts), "thing")).ToMend("look at each against the operator's page; tick that they are so, or correct the list"))
		}
		if err := wrong.Err(); err != nil {
			return err
		}
		at := t.origin()
		table := tariff.ZoneTable{Name: in.Table, Origin: tariff.Origin{Country: at.Country, Prefix: tariff.Postcode(at.Postcode)}, Source: in.Source, Status: "secondary", Rows: l.Rows}
		if err := table.Check("zones"); err != nil {
			return err
		}
		set := t.Set
		set.Zones = append(slices.DeleteFunc(slices.Clone(set.Zones), func(z tariff.ZoneTable) bool { return z.Name == in.Table }), table)
		if err := t.SaveSettings(set); err != nil {
			return err
		}
		return t.Note(0, "zones %s from %s %s taken in: %s", in.Table, at.Country, at.Postcode, fault.Count(len(l.Rows), "range"))
	})
}

// DropZones forgets a pasted list: the cards' own zones, or the estimate, hold again. Faults: Missing.
func DropZones(ctx context.Context, s *studio.Studio, table string) error {
	return write(ctx, s, func(t *PriceCards) error {
		set := t.Set
		set.Zones = slices.DeleteFunc(slices.Clone(set.Zones), func(z tariff.ZoneTable) bool { return z.Name == table })
		if len(set.Zones) == len(t.Set.Zones) {
			return fault.New(fault.Missing, "no zones %.40q were taken in", table).ToMend("choose one of the list")
		}
		if err := t.SaveSettings(set); err != nil {
			return err
		}
		return t.Note(0, "zones %s dropped", table)
	})
}
