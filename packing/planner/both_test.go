package planner_test

import (
	"flag"
	"testing"

	"solander/internal/brute"
	"solander/measure"
	"solander/packing"
	"solander/packing/check"
)

var boths = flag.Int("boths", 600, "problems of rolled with flat that are tried against every plan")

// Problems in which some sheets are rolled and others lie flat in one carton: the planner, every plan tried and the check agree;
// and what is found beyond the exact size is neither below the best plan, nor its bound above it.
func TestRolledWithFlatAgainstEveryPlan(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	parcels, lies := 0, map[packing.Lies]int{}
	proven := 0
	for seed := range uint64(*boths) {
		p := brute.Both(seed)
		if err := p.Check(); err != nil {
			t.Fatalf("problem %d is refused: %v", seed, err)
		}
		got := bestOf(t, p, seed)
		for i := range got.Parcels {
			if got.Parcels[i].Shape == packing.Both {
				parcels++
				lies[got.Parcels[i].Roll.Lies]++
			}
		}
		p.Orders = p.Orders[:1]
		exact, long := plan(t, p), plan(t, searched(p))
		if err := check.Plan(searched(p), long); err != nil {
			show(t, p, long)
			t.Fatalf("problem %d: the check finds of the search: %v", seed, err)
		}
		if exact.Held > 0 {
			continue
		}
		if long.Orders[0].Bound > exact.Total || long.Held == 0 && long.Total < exact.Total {
			show(t, p, exact)
			t.Fatalf("problem %d: the best costs %d, the search found %d and the bound %d", seed, exact.Total, long.Total, long.Orders[0].Bound)
		}
		if long.Status == packing.Optimal {
			if proven++; sumsOf(long) != sumsOf(exact) {
				show(t, p, exact)
				t.Fatalf("problem %d: called proven with %+v, the best is %+v", seed, sumsOf(long), sumsOf(exact))
			}
		}
	}
	t.Logf("%d parcels, %v, %d searched are proven", parcels, lies, proven)
	if parcels < *boths/10 || len(lies) < 3 {
		t.Errorf("%d parcels of both, lying %v: too few of a kind", parcels, lies)
	}
}

// printsAndMat is the worked example of docs/formats/physics.md, section 6: prints of 18 × 24 and of 16 × 20 in rolled together, a
// matted one flat between two boards, and a carton of so many nanometres inside.
func printsAndMat(length, width, height measure.Length) packing.Problem {
	p := gallery(1)
	p.Rules = nil
	roll := &packing.Roll{Tightest: 3 * in}
	p.Orders[0].Sheets = []packing.Sheet{
		{ID: "large", Width: 18 * in, Height: 24 * in, Caliper: mm / 2, Mass: 90 * g, Roll: roll},
		{ID: "matted", Width: 11 * in, Height: 14 * in, Caliper: 4 * mm, Mass: 400 * g, Stiff: true},
		{ID: "small", Width: 16 * in, Height: 20 * in, Caliper: mm / 2, Mass: 70 * g, Roll: roll},
	}
	p.Wraps = []packing.Wrap{{ID: "two", Shape: packing.Both, Layers: []packing.Layer{
		{Kind: packing.Tube, Of: packing.Rolled, Clearance: packing.Clearance{Ends: in / 2}},
		{Kind: packing.Board, Of: packing.Flat, Count: 2},
		{Kind: packing.Carton},
	}}}
	p.Shelf = []packing.Item{
		{ID: "tube", Kind: packing.Tube, Length: 20 * in, Diameter: 13 * in / 4, Wall: 2 * mm, Mass: 200 * g, Cost: 200},
		{ID: "board", Kind: packing.Board, Width: 12 * in, Height: 16 * in, Caliper: 2 * mm, Mass: 100 * g, Cost: 40},
		{ID: "carton", Kind: packing.Carton, Length: length, Width: width, Height: height, Mass: 300 * g, Cost: 150},
	}
	return p
}

// Source: docs/formats/physics.md, section 6, worked by hand: a tube of 508 × 86.55 mm with a pack of 406.4 × 304.8 × 8 mm.
func TestRolledWithFlatWorkedByHand(t *testing.T) {
	const um = measure.Micrometre
	for name, c := range map[string]struct {
		carton [3]measure.Length
		change func(*packing.Problem)
		lies   packing.Lies // none: it cannot go
		rule   string
	}{
		"next to the long side":   {[3]measure.Length{20 * in, 16 * in, 7 * in / 2}, nil, packing.BesideLong, ""},
		"on the pack":             {[3]measure.Length{20 * in, 12 * in, 4 * in}, nil, packing.OnPack, ""},
		"next to it to the nm":    {[3]measure.Length{508 * mm, 391_350 * um, 86_550 * um}, nil, packing.BesideLong, ""},
		"a nanometre narrower":    {[3]measure.Length{508 * mm, 391_350*um - 1, 86_550 * um}, nil, "", "carton.height"},
		"a nanometre shorter":     {[3]measure.Length{508*mm - 1, 391_350 * um, 86_550 * um}, nil, "", "carton.length"},
		"a nanometre lower":       {[3]measure.Length{508 * mm, 391_350 * um, 86_550*um - 1}, nil, "", "carton.height"},
		"on it to the nm":         {[3]measure.Length{508 * mm, 304_800 * um, 94_550 * um}, nil, packing.OnPack, ""},
		"on it a nanometre lower": {[3]measure.Length{508 * mm, 304_800 * um, 94_550*um - 1}, nil, "", "carton.height"},
		"next to the short side": {[3]measure.Length{492_950 * um, 305 * mm, 86_550 * um}, func(p *packing.Problem) {
			p.Orders[0].Sheets[0].Width, p.Orders[0].Sheets[2].Width, p.Shelf[0].Length = 11*in, 11*in, 12*in // ℓ = 304.8 mm
		}, packing.BesideShort, ""},
		"next to the short side, a nanometre shorter": {[3]measure.Length{492_950*um - 1, 305 * mm, 86_550 * um}, func(p *packing.Problem) {
			p.Orders[0].Sheets[0].Width, p.Orders[0].Sheets[2].Width, p.Shelf[0].Length = 11*in, 11*in, 12*in
		}, "", "carton.height"},
		"too thick about the short axis, too long about the other": {[3]measure.Length{20 * in, 16 * in, 4 * in}, func(p *packing.Problem) { p.Orders[0].Sheets[0].Caliper = mm }, "", "tube.length"},
		"the carton's clearance": {[3]measure.Length{508*mm + 2*in, 391_350*um + 2*in - 1, 86_550 * um}, func(p *packing.Problem) {
			p.Wraps[0].Layers[2].Clearance.Sides = in
		}, "", "carton.height"},
		"small enough to lie flat, too large for the boards": {[3]measure.Length{20 * in, 16 * in, 4 * in}, func(p *packing.Problem) { p.Wraps[0].FlatTo = 20 * in }, "", "board.length"},
		"all that may be rolled lies flat":                   {[3]measure.Length{20 * in, 16 * in, 4 * in}, func(p *packing.Problem) { p.Wraps[0].FlatTo = 24 * in }, "", "wrap.rolled"},
		"a nanometre less, and the large one is rolled": {[3]measure.Length{20 * in, 18 * in, 4 * in}, func(p *packing.Problem) {
			p.Wraps[0].FlatTo, p.Shelf[1].Width, p.Shelf[1].Height = 24*in-1, 16*in, 20*in
		}, packing.OnPack, ""},
	} {
		p := printsAndMat(c.carton[0], c.carton[1], c.carton[2])
		if c.change != nil {
			c.change(&p)
		}
		p.Rules = []packing.Rule{{ID: "together", Then: packing.Then{Together: true}}}
		got := plan(t, p)
		if err := check.Plan(p, got); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if c.lies == "" {
			// The option that gets furthest lies on the pack and is too high, unless that fails earlier, too.
			if f := whyNot(t, p, p.Orders[0].ID, "two", "ground"); got.Held != 1 || f.Reason == nil || f.Reason.Rule != c.rule {
				t.Errorf("%s: %d held, %+v, want %s", name, got.Held, f.Reason, c.rule)
			}
			continue
		}
		if got.Held > 0 || got.Parcels[0].Roll.Lies != c.lies {
			t.Errorf("%s: %+v", name, got)
			continue
		}
		if pc := &got.Parcels[0]; c.change == nil && (pc.Roll.Axis != 18*in || pc.Roll.Strip != 24*in || pc.Roll.Pack != mm || pc.Roll.Outer/1000 != 81_133) {
			t.Errorf("%s: rolled %+v", name, pc.Roll)
		}
	}
}

// Leave to roll with flat, one more wrap, never makes a plan dearer, and often cheaper.
func TestRolledWithFlatNeverCostsMore(t *testing.T) {
	cheaper := 0
	for seed := range uint64(400) {
		p := brute.Both(600_000 + seed)
		if p.Rules = nil; len(p.Wraps) < 2 {
			continue
		}
		with := plan(t, p)
		p.Wraps = p.Wraps[:1]
		without := plan(t, p)
		if dearer(with, without) {
			show(t, p, without)
			t.Fatalf("problem %d: %d held and %d without, %d held and %d with", seed, without.Held, without.Total, with.Held, with.Total)
		}
		cheaper += btoi(dearer(without, with))
	}
	if cheaper < 5 {
		t.Errorf("cheaper in %d problems only", cheaper)
	}
}
