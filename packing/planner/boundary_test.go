package planner_test

import (
	"testing"

	"solander/measure"
	"solander/packing"
	"solander/sheet"
)

// roll is one sheet, one tube and a service for any box or cylinder.
func roll() packing.Problem {
	p := gallery(1)
	p.Rules = nil
	p.Wraps = []packing.Wrap{{ID: "rolled", Shape: packing.Rolled, Layers: []packing.Layer{{Kind: packing.Tube, Clearance: packing.Clearance{Ends: 10 * mm, Across: 2 * mm}}}}}
	p.Orders[0].Sheets = []packing.Sheet{{ID: "s", Width: 400 * mm, Height: 600 * mm, Caliper: mm / 2, Mass: 100 * g, Roll: &packing.Roll{Tightest: 50 * mm}}}
	d := sheet.RollDiameter(400*mm, mm/2, 50*mm)
	p.Shelf = []packing.Item{{ID: "t", Kind: packing.Tube, Length: 620 * mm, Diameter: d + 2*mm, Wall: 2 * mm, Mass: 100 * g, Cost: 100}}
	return p
}

// One unit less, or more, at every edge: what fits exactly goes, a nanometre less does not.
func TestEdges(t *testing.T) {
	for name, c := range map[string]struct {
		problem func() packing.Problem
		change  func(*packing.Problem)
		rule    string
	}{
		"the tube fits exactly":                        {roll, func(p *packing.Problem) {}, ""},
		"tube a nanometre narrower":                    {roll, func(p *packing.Problem) { p.Shelf[0].Diameter-- }, "tube.diameter"},
		"tube a nanometre shorter":                     {roll, func(p *packing.Problem) { p.Shelf[0].Length-- }, "tube.length"},
		"end gap a nanometre more":                     {roll, func(p *packing.Problem) { p.Wraps[0].Layers[0].Clearance.Ends++ }, "tube.length"},
		"sheet may be rolled a nanometre less tightly": {roll, func(p *packing.Problem) { p.Orders[0].Sheets[0].Roll.Tightest++ }, "tube.diameter"},
		"the wrap's core as tight as the sheet":        {roll, func(p *packing.Problem) { p.Wraps[0].Core = 50 * mm }, ""},
		"the wrap's core a nanometre wider":            {roll, func(p *packing.Problem) { p.Wraps[0].Core = 50*mm + 1 }, "tube.diameter"},
		"a sheet that may not be rolled":               {roll, func(p *packing.Problem) { p.Orders[0].Sheets[0].Roll = nil }, "sheet.roll"},
		// The other side along the axis: strip 600 mm, axis 400 mm.
		"a short, wide tube": {roll, func(p *packing.Problem) {
			p.Shelf[0].Length, p.Shelf[0].Diameter = 420*mm, sheet.RollDiameter(600*mm, mm/2, 50*mm)+2*mm
		}, ""},
		"a short, wide tube, a nanometre narrower": {roll, func(p *packing.Problem) {
			p.Shelf[0].Length, p.Shelf[0].Diameter = 420*mm, sheet.RollDiameter(600*mm, mm/2, 50*mm)+2*mm-1
		}, "tube.length"},
		"the mailer fits exactly": {flatEdge, func(p *packing.Problem) {}, ""},
		"mailer shorter":          {flatEdge, func(p *packing.Problem) { p.Shelf[1].Height-- }, "envelope.length"},
		"mailer narrower":         {flatEdge, func(p *packing.Problem) { p.Shelf[1].Width-- }, "envelope.width"},
		"mailer thinner":          {flatEdge, func(p *packing.Problem) { p.Shelf[1].Thickest-- }, "envelope.thickness"},
		"board thicker":           {flatEdge, func(p *packing.Problem) { p.Shelf[0].Caliper++ }, "envelope.thickness"},
		"board smaller":           {flatEdge, func(p *packing.Problem) { p.Shelf[0].Width-- }, "board.width"},
		"soft mailer":             {flatEdge, func(p *packing.Problem) { p.Shelf[1].Soft = true }, "envelope.length"},
	} {
		p := c.problem()
		c.change(&p)
		o := plan(t, p).Orders[0]
		got := ""
		if o.Reason != nil {
			got = o.Reason.Rule
		}
		if got != c.rule {
			t.Errorf("%s: %q, want %q", name, got, c.rule)
		}
	}
}

// flatEdge is one sheet between two boards that fit a mailer to the nanometre.
func flatEdge() packing.Problem {
	p := gallery(1)
	p.Rules = nil
	edge := packing.Clearance{Sides: 3 * mm}
	p.Wraps = []packing.Wrap{{ID: "flat", Shape: packing.Flat, Layers: []packing.Layer{
		{Kind: packing.Board, Count: 2, Clearance: edge}, {Kind: packing.Envelope, Clearance: packing.Clearance{Sides: 5 * mm, Thickness: mm}},
	}}}
	p.Orders[0].Sheets = []packing.Sheet{{ID: "s", Width: 600 * mm, Height: 400 * mm, Caliper: mm / 2, Mass: 100 * g}}
	p.Shelf = []packing.Item{
		{ID: "b", Kind: packing.Board, Width: 406 * mm, Height: 606 * mm, Caliper: 2 * mm, Mass: 50 * g, Cost: 10},
		{ID: "m", Kind: packing.Envelope, Width: 416 * mm, Height: 616 * mm, Wall: mm, Thickest: 5*mm + mm/2, Mass: 50 * g, Cost: 10},
	}
	return p
}

// A step of the price list holds up to and including its mass. (400 is the fee for more than 22 in.)
func TestMassAtTheStep(t *testing.T) {
	p := flatEdge()
	own := 50*g*3 + 100*g
	p.Cards[0].Services[0].Flexible = false
	for extra, want := range map[measure.Mass]int64{0: 500 + 400, 1: 590 + 400} {
		q := p
		q.Orders[0].Sheets[0].Mass = measure.Pound - own + 100*g + extra
		got := plan(t, q).Parcels[0]
		if postage := got.Cost - 30; postage != want {
			t.Errorf("a pound and %d ng: postage %d, want %d", extra, postage, want)
		}
	}
}

// A rule for light parcels can make a heavier board the cheaper choice: nothing may be left out for being heavier.
func TestTheHeavierMayBeCheaper(t *testing.T) {
	p := flatEdge()
	heavy := p.Shelf[0]
	heavy.ID, heavy.Mass = "heavy", 150*g
	p.Shelf = append(p.Shelf, heavy)
	light := 300 * g
	p.Rules = []packing.Rule{{ID: "light", When: packing.When{MassTo: &light}, Then: packing.Then{OnlyClasses: []string{"courier"}}}}
	got := plan(t, p).Parcels[0]
	if got.Layers[0].Item != "heavy" || got.Class != "letter" {
		t.Errorf("%s by %s for %d", got.Layers[0].Item, got.Class, got.Cost)
	}
}
