package planner_test

import (
	"testing"

	"solander/internal/brute"
	"solander/measure"
	"solander/packing"
	"solander/packing/check"
	"solander/tariff"
)

// box is one stiff sheet of 300 × 200 mm and a carton of 500 × 400 mm inside, whose base may be cut down to 200 mm
// and 100 mm in steps of 50 mm.
func box() packing.Problem {
	p := gallery(1)
	p.Rules = nil
	p.Orders[0].Sheets = []packing.Sheet{{ID: "s", Width: 300 * mm, Height: 200 * mm, Caliper: 2 * mm, Mass: 100 * g, Stiff: true}}
	p.Wraps = []packing.Wrap{{ID: "boxed", Shape: packing.Flat, Layers: []packing.Layer{{Kind: packing.Carton}}}}
	p.Shelf = []packing.Item{{
		ID: "c", Kind: packing.Carton, Length: 500 * mm, Width: 400 * mm, Height: 50 * mm, Wall: 3 * mm, Mass: 200 * g, Cost: 100,
		CutBase: &packing.CutBase{ShortestLength: 200 * mm, ShortestWidth: 100 * mm, Step: 50 * mm},
	}}
	return p
}

// Worked by hand: with the longer side along the length the base is 300 × 200 mm, outside 306 × 206; along the width
// 200 × 300 mm: the same parcel. What the base is cut to, one nanometre more or less at every edge.
func TestTheBaseIsCutDown(t *testing.T) {
	for name, c := range map[string]struct {
		change              func(*packing.Problem)
		length, width, high measure.Length // the parcel's
	}{
		"the sheet fits exactly":     {func(*packing.Problem) {}, 306 * mm, 206 * mm, 56 * mm},
		"a nanometre longer":         {func(p *packing.Problem) { p.Orders[0].Sheets[0].Width++ }, 356 * mm, 206 * mm, 56 * mm},
		"a nanometre wider":          {func(p *packing.Problem) { p.Orders[0].Sheets[0].Height++ }, 306 * mm, 256 * mm, 56 * mm},
		"with room at the sides":     {func(p *packing.Problem) { p.Wraps[0].Layers[0].Clearance.Sides = 25 * mm }, 356 * mm, 256 * mm, 56 * mm},
		"a nanometre more room":      {func(p *packing.Problem) { p.Wraps[0].Layers[0].Clearance.Sides = 25*mm + 1 }, 406 * mm, 306 * mm, 56 * mm},
		"the length alone":           {func(p *packing.Problem) { p.Shelf[0].CutBase.ShortestWidth = 0 }, 406 * mm, 206 * mm, 56 * mm},
		"the width alone":            {func(p *packing.Problem) { p.Shelf[0].CutBase.ShortestLength = 0 }, 506 * mm, 206 * mm, 56 * mm},
		"shortest is longer":         {func(p *packing.Problem) { p.Shelf[0].CutBase.ShortestLength = 320 * mm }, 326 * mm, 206 * mm, 56 * mm},
		"not at all":                 {func(p *packing.Problem) { p.Shelf[0].CutBase = nil }, 506 * mm, 406 * mm, 56 * mm},
		"an outside larger than two": {func(p *packing.Problem) { p.Shelf[0].Outer = &packing.Outer{Length: 520 * mm} }, 320 * mm, 206 * mm, 56 * mm},
		"the height, too":            {func(p *packing.Problem) { p.Shelf[0].Cut = &packing.Cut{Shortest: 2 * mm, Step: 8 * mm} }, 306 * mm, 206 * mm, 8 * mm},
	} {
		p := box()
		c.change(&p)
		got := plan(t, p)
		if err := check.Plan(p, got); err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if s := got.Parcels[0].Size; s != (packing.Size{Length: c.length, Width: c.width, Height: c.high}) {
			t.Errorf("%s: %v × %v × %v", name, s.Length, s.Width, s.Height)
		}
	}
}

// A class for parcels of some length at least: the base is not cut below it.
func TestTheBaseStaysLargeEnoughForAClass(t *testing.T) {
	p := box()
	for i := range p.Cards {
		for j := range p.Cards[i].Services {
			s := &p.Cards[i].Services[j]
			least := int64(400 * mm)
			s.Limits = append(s.Limits, tariff.Bound{Measure: tariff.Length, Min: &least})
		}
	}
	got := plan(t, p)
	if err := check.Plan(p, got); err != nil {
		t.Fatal(err)
	}
	if got.Held > 0 || got.Parcels[0].Size.Length < 400*mm {
		t.Errorf("%+v", got.Orders)
	}
}

// Leave to cut the base never costs more.
func TestCuttingTheBaseNeverCostsMore(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	cut := 0
	for seed := range uint64(300) {
		p := brute.Cards(950_000 + seed)
		was := plan(t, p)
		for _, q := range was.Parcels {
			for _, l := range q.Layers {
				cut += btoi(l.CutLength > 0 || l.CutWidth > 0)
			}
		}
		q := clone(t, p)
		for i := range q.Shelf {
			q.Shelf[i].CutBase = nil
		}
		if now := plan(t, q); dearer(was, now) {
			t.Errorf("%d: %d held and %d, without the cut %d held and %d", seed, was.Held, was.Total, now.Held, now.Total)
		}
	}
	if cut < 5 {
		t.Errorf("only %d bases were cut", cut)
	}
}
