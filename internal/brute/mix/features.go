package mix

import (
	"slices"

	"solander/internal/brute"
	"solander/packing"
	"solander/tariff"
)

// Features are what the format of problems can say, by names of our own: those of one wrap with its items, of
// orders and sheets, of price cards and of house rules.
var Features = slices.Concat([]string{
	"rolled", "sleeve per sheet", "tissue per sheet", "board per sheet", "tissue in gaps", "tissue round the stack", "board round the stack",
	"sleeve round the stack", "envelope", "carton", "nested", "count", "items named", "sides", "thickness", "ends or across", "empty", "beside", "between",
	"fewest", "most", "core", "work", "soft", "stiff", "thickest", "outer", "wall", "cornered", "cut", "cut base", "stock", "issued", "container",
	"several orders", "combined", "abroad", "arrive by", "several kinds", "alike", "turned", "copies", "grammage", "value", "grade", "stiff sheet", "roll",
	"zones", "zone most", "within or abroad", "countries", "forms", "flexible", "price of a container", "tracking", "days", "limits", "by volume", "by piece", "not carried", "carried over",
	"dimensional", "surcharges", "groups", "cover", "cover's most", "cover by parts", "signature", "cards of a series", "price classes", "holidays",
	"both", "flat to", "margin of grammage", "margin of caliper", "margin of a parcel", "mass of a wrap",
}, conditions, demands)

// Features of wraps by shape: some of tubes, some of what lies flat, some of wraps that hold both, some of those that hold flat
// ones alone.
var (
	tubes    = []string{"ends or across", "core", "cornered"}
	packs    = []string{"board per sheet", "board round the stack", "sleeve round the stack"}
	both     = []string{"both", "flat to"}
	flatOnly = []string{"beside", "between"}
)

// Excluded reports whether two features never stand in one wrap or one price table.
func Excluded(a, b string) bool {
	either := func(x, y []string) bool {
		return slices.Contains(x, a) && slices.Contains(y, b) || slices.Contains(x, b) && slices.Contains(y, a)
	}
	return either([]string{"rolled"}, slices.Concat(packs, both, flatOnly)) || either(flatOnly, slices.Concat(tubes, both)) || either([]string{"by volume"}, []string{"by piece"})
}

// FeaturesOf lists the features that a problem has, those of wraps by its first wrap.
func FeaturesOf(p *packing.Problem) []string {
	var out []string
	is := func(feature string, has bool) {
		if has && !slices.Contains(out, feature) {
			out = append(out, feature)
		}
	}
	ofWrap(p, is)
	ofOrders(p, is)
	for i := range p.Cards {
		for j := range p.Cards[i].Services {
			ofService(&p.Cards[i], &p.Cards[i].Services[j], is)
		}
	}
	is("cards of a series", slices.ContainsFunc(p.Cards, func(c tariff.Card) bool { return c.Series == p.Cards[0].Series && c.ID != p.Cards[0].ID }))
	is("price classes", len(p.PriceClasses) > 0)
	is("holidays", len(p.Holidays) > 0)
	is("margin of grammage", p.Margin.Grammage > 0)
	is("margin of caliper", p.Margin.Caliper > 0)
	is("margin of a parcel", p.Margin.Parcel > 0)
	for i := range p.Rules {
		ofRule(&p.Rules[i], is)
	}
	return out
}

func ofWrap(p *packing.Problem, is func(string, bool)) {
	w := &p.Wraps[0]
	is("rolled", w.Shape == packing.Rolled)
	is("both", w.Shape == packing.Both)
	is("flat to", w.FlatTo > 0)
	is("beside", w.Beside > 0)
	is("between", w.Between > 0)
	is("fewest", w.Fewest > 0)
	is("most", w.Most > 0)
	is("core", w.Core > 0)
	is("mass of a wrap", w.Mass > 0)
	is("work", w.Minutes+w.MinutesPerSheet > 0 && p.Options.MinuteWage > 0)
	closing := 0
	for i := range w.Layers {
		l := &w.Layers[i]
		is(map[packing.Per]string{packing.PerSheet: string(l.Kind) + " per sheet", packing.PerGap: "tissue in gaps"}[l.Takes()], l.Takes() != packing.PerStack)
		if l.Takes() == packing.PerStack {
			is(string(l.Kind)+" round the stack", l.Kind == packing.Tissue || l.Kind == packing.Board || l.Kind == packing.Sleeve)
			is(string(l.Kind), l.Kind == packing.Envelope || l.Kind == packing.Carton)
			if l.Kind == packing.Envelope || l.Kind == packing.Carton || l.Kind == packing.Tube {
				closing++
			}
		}
		is("count", l.Count > 1)
		is("items named", len(l.Items) > 1)
		is("sides", l.Clearance.Sides > 0)
		is("thickness", l.Clearance.Thickness > 0)
		is("ends or across", l.Clearance.Ends+l.Clearance.Across > 0)
		is("empty", l.Empty != nil)
		for j := range p.Shelf {
			if it := &p.Shelf[j]; it.Kind == l.Kind && (len(l.Items) == 0 || slices.Contains(l.Items, it.ID)) {
				ofItem(it, is)
			}
		}
	}
	is("nested", closing > 1)
}

func ofItem(it *packing.Item, is func(string, bool)) {
	is("soft", it.Soft)
	is("stiff", it.Stiff)
	is("thickest", it.Thickest > 0)
	is("outer", it.Outer != nil)
	is("wall", it.Wall > 0)
	is("cornered", it.Cornered)
	is("cut", it.Cut != nil)
	is("cut base", it.CutBase != nil)
	is("stock", it.Stock != nil)
	is("issued", it.IssuedFor != "")
	is("container", it.Container != "")
}

func ofOrders(p *packing.Problem, is func(string, bool)) {
	is("several orders", len(p.Orders) > 1)
	for i := range p.Orders {
		o := &p.Orders[i]
		is("combined", o.Combine != "" && len(p.Orders) > 1)
		is("abroad", o.Destination.Country != p.Origin.Country)
		is("arrive by", !o.ArriveBy.IsZero())
		is("several kinds", len(o.Sheets) > 1)
		for j := range o.Sheets {
			s := &o.Sheets[j]
			for k := range j {
				is("alike", brute.Alike(s, &o.Sheets[k]))
				is("turned", brute.Alike(s, &o.Sheets[k]) && s.Width != o.Sheets[k].Width)
			}
			is("copies", s.Copies > 1)
			is("grammage", s.Grammage > 0)
			is("value", s.Value > 0)
			is("grade", s.Grade != "")
			is("stiff sheet", s.Stiff)
			is("roll", s.Roll != nil)
		}
	}
}

func ofService(c *tariff.Card, s *tariff.Service, is func(string, bool)) {
	is("zones", s.Zones != "")
	for i := range c.Zones {
		is("zone most", slices.ContainsFunc(c.Zones[i].Rows, func(r tariff.ZoneRow) bool { return r.Most > 0 }))
	}
	is("within or abroad", s.Abroad != nil)
	is("countries", len(s.Countries) > 0)
	is("forms", len(s.Forms) > 0)
	is("flexible", s.Flexible)
	is("price of a container", s.Container != "")
	is("tracking", s.Tracking)
	is("days", s.Days != nil)
	is("limits", len(s.Limits) > 0)
	is("by volume", s.Prices.By == tariff.ByVolume)
	is("by piece", s.Prices.By == tariff.ByPiece)
	for i := range s.Prices.Rows {
		is("not carried", slices.Contains(s.Prices.Rows[i].Prices, tariff.NotCarried))
		is("carried over", len(s.Prices.Rows[i].Carried) > 0)
	}
	is("dimensional", s.Dimensional != nil)
	is("surcharges", len(s.Surcharges) > 0)
	is("groups", slices.ContainsFunc(s.Surcharges, func(c tariff.Surcharge) bool { return c.Group != "" }))
	is("cover", s.Cover != nil)
	is("cover's most", s.Cover != nil && s.Cover.Most != nil)
	is("cover by parts", s.Cover != nil && s.Cover.Per > 0)
	is("signature", s.Signature != nil)
}

func ofRule(r *packing.Rule, is func(string, bool)) {
	w, t := &r.When, &r.Then
	for i, has := range []bool{
		len(w.Grades) > 0, w.SheetsFrom != nil, w.SheetsTo != nil, w.OrderSheetsFrom != nil, w.OrderSheetsTo != nil, w.ValueOver != nil, w.OrderValueOver != nil,
		w.LongestOver != nil, w.LongestTo != nil, w.MassOver != nil, w.MassTo != nil, w.Abroad != nil, len(w.Countries) > 0, w.Shape != "", len(w.Orders) > 0,
	} {
		is(conditions[i], has)
	}
	for i, has := range []bool{
		t.Shape != "", len(t.OnlyWraps) > 0, len(t.NotWraps) > 0, t.SheetsMost != nil, t.Together, len(t.OnlyClasses) > 0, len(t.NotClasses) > 0, t.Tracking, t.Signature, t.FullCover,
	} {
		is(demands[i], has)
	}
}
