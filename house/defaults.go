package house

import (
	"solander/calendar"
	"solander/measure"
	"solander/order"
	"solander/packing"
	"solander/studio"
	"solander/supply"
)

// Defaults is what set-up offers: a shelf in generic sizes without stock, wraps and house rules that say
// the rules of thumb of the trade as data, and papers. All of it is the studio's to change.
//
// Sizes, weights, prices and papers are examples, invented or from memory; each item's note asks for
// her own. Packaging, wraps and rules are in the units given, inches when they are none that is known.
func Defaults(u measure.System) SetUpIn {
	if u != measure.Metric {
		u = measure.Imperial
	}
	return SetUpIn{
		Settings: studio.Settings{
			Address: order.Address{Country: "US"}, Currency: "USD", Units: u, TimeZone: "America/New_York",
			Holidays: "us-federal", ClosedDays: []calendar.Day{}, MarkPrefix: "S", PriceClasses: []string{"commercial", "single-piece"},
			Papers: defaultPapers(), Labs: []string{}, Grades: []string{"fine", "standard"}, Margin: DefaultMargin(u), Wraps: defaultWraps(u), Rules: defaultRules(u),
		},
		Outlets: []order.Outlet{{Name: "Own shop", PromiseDays: 5}, {Name: "In person", PromiseDays: 3}},
		Shelf:   defaultShelf(u),
	}
}

// MeasuredIn is the set-up in other units: packaging, wraps, rules and margin as Defaults offers them in those, in place of what it has of them.
func (in SetUpIn) MeasuredIn(u measure.System) SetUpIn {
	d := Defaults(u)
	in.Shelf, in.Settings.Units, in.Settings.Margin, in.Settings.Wraps, in.Settings.Rules = d.Shelf, d.Settings.Units, d.Settings.Margin, d.Settings.Wraps, d.Settings.Rules
	return in
}

// DefaultMargin is what a studio begins with: five per cent for the weight of paper, which is the usual tolerance of mills
// (a trade article; ISO 536 says how grammage is measured, not how far off it may be), and one step of a common parcel
// scale, 0.1 oz or 5 g (common practice, no source). No margin of thickness: calipers are measured, not derived.
func DefaultMargin(u measure.System) packing.Margin {
	if u == measure.Metric {
		return packing.Margin{Grammage: 50, Parcel: 5 * measure.Gram}
	}
	return packing.Margin{Grammage: 50, Parcel: (measure.Ounce + 5) / 10}
}

// defaultPapers are common weights and thicknesses; from memory.
func defaultPapers() []supply.Paper {
	const mm = measure.Millimetre
	return []supply.Paper{
		{Name: "cotton rag, 310 gsm", Grammage: 310 * measure.GSM, Caliper: mm * 50 / 100, TightestRoll: 3 * measure.Inch},
		{Name: "etching paper, 350 gsm", Grammage: 350 * measure.GSM, Caliper: mm * 60 / 100, TightestRoll: 4 * measure.Inch},
		{Name: "matt paper, 230 gsm", Grammage: 230 * measure.GSM, Caliper: mm * 30 / 100, TightestRoll: 2 * measure.Inch},
		{Name: "satin photo paper, 260 gsm", Grammage: 260 * measure.GSM, Caliper: mm * 27 / 100, TightestRoll: 2 * measure.Inch},
	}
}

// defaultWraps are three ways to protect prints (common practice, no source). None names an item: which
// envelope a print takes is a question of its size, and a studio that ticks none of the offered sizes, or
// adds its own, packs with what it has.
func defaultWraps(u measure.System) []packing.Wrap {
	sixteenth, eighth, quarter, headroom := measure.Inch/16, measure.Inch/8, measure.Inch/4, measure.Inch/2
	if u == measure.Metric {
		sixteenth, eighth, quarter, headroom = millimetres(2), millimetres(3), millimetres(6), millimetres(12)
	}
	sleeve := packing.Layer{Kind: packing.Sleeve, Per: packing.PerSheet, Clearance: packing.Clearance{Sides: sixteenth}}
	return []packing.Wrap{
		{
			ID: "double-envelope", Name: "flat in two stiff envelopes", Shape: packing.Flat, Most: 1, Minutes: 5,
			Layers: []packing.Layer{
				sleeve,
				{Kind: packing.Envelope, Clearance: packing.Clearance{Sides: eighth}},
				{Kind: packing.Envelope, Clearance: packing.Clearance{Sides: eighth}},
			},
		},
		{
			ID: "carton", Name: "flat between stiff boards in a carton cut down", Shape: packing.Flat, Minutes: 15, MinutesPerSheet: 2,
			Layers: []packing.Layer{
				sleeve,
				{Kind: packing.Tissue, Per: packing.PerGap},
				{Kind: packing.Board, Count: 2, Clearance: packing.Clearance{Sides: quarter}},
				{Kind: packing.Carton, Clearance: packing.Clearance{Sides: eighth, Thickness: eighth}, Empty: &headroom},
			},
		},
		{
			ID: "tube", Name: "rolled in a tube", Shape: packing.Rolled, Most: 6, Minutes: 10, MinutesPerSheet: 2,
			Layers: []packing.Layer{
				{Kind: packing.Tissue, Per: packing.PerSheet},
				{Kind: packing.Tube, Clearance: packing.Clearance{Ends: headroom, Across: quarter}},
			},
		},
	}
}

// defaultRules are house rules of thumb (common practice, no source). Whether a large print goes flat or
// rolled is left to what it costs. Classes are those of the bundled price cards.
func defaultRules(u measure.System) []packing.Rule {
	two := 2
	small, smallText := rolledFrom(u), "19 in"
	dear, heavy, heavyText := int64(100_00), 10*measure.Pound, "10 lb"
	if u == measure.Metric {
		smallText, heavy, heavyText = "500 mm", 5*measure.Kilogram, "5 kg"
	}
	home, abroad := false, true
	return []packing.Rule{
		{
			ID: "small-flat", Text: "prints up to " + smallText + " go flat, not rolled",
			When: packing.When{LongestTo: &small}, Then: packing.Then{Shape: packing.Flat},
		},
		{
			ID: "several-better", Text: "an order of two or more prints goes by the better class",
			When: packing.When{OrderSheetsFrom: &two, Abroad: &home}, Then: packing.Then{OnlyClasses: []string{"priority"}},
		},
		{
			ID: "several-boxed", Text: "an order of two or more prints is not sent in envelopes",
			When: packing.When{OrderSheetsFrom: &two}, Then: packing.Then{NotWraps: []string{"double-envelope"}},
		},
		{
			ID: "fine-better", Text: "the fine grade always goes by the better class",
			When: packing.When{Grades: []string{"fine"}, Abroad: &home}, Then: packing.Then{OnlyClasses: []string{"priority"}},
		},
		{
			ID: "heavy-better", Text: "the cheap class is for parcels up to " + heavyText,
			When: packing.When{MassOver: &heavy, Abroad: &home}, Then: packing.Then{NotClasses: []string{"ground"}},
		},
		{
			ID: "dear-covered", Text: "prints of more than 100.00 in one parcel are covered in full",
			When: packing.When{ValueOver: &dear, Abroad: &home}, Then: packing.Then{FullCover: true},
		},
		{
			ID: "abroad-tracked", Text: "what goes abroad is tracked",
			When: packing.When{Abroad: &abroad}, Then: packing.Then{Tracking: true},
		},
	}
}
