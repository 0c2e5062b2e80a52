package tariff

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"solander/measure"
)

// Source: Notice 123 of 2025-10-05, page 15: commercial Ground Advantage, zone 1: 6.37 up to 15.999 oz,
// 7.10 up to 1 lb; steps are "not over" (page 15; Domestic Mail Manual 123.1.2).
func TestStepsAreNotOver(t *testing.T) {
	o := offer(ground(), near)
	for _, c := range []struct {
		mass measure.Mass
		want int64
	}{
		{4 * oz, 450}, {4*oz + 1, 637}, {almost, 637}, {almost + 1, 710}, {16 * oz, 710}, {16*oz + 1, 1500},
	} {
		if got, ok := o.Cost(box(10*in, 8*in, in, c.mass), Extras{}); !ok || got != c.want {
			t.Errorf("%v: %d %v, want %d", c.mass, got, ok, c.want)
		}
	}
}

// Source: Domestic Mail Manual 123.1.3 and 123.1.4 with the divisor 166 (mailers' notices since
// 2019-06-23) and, from 2026-07-12, 139 with every fraction of an inch rounded up.
func TestDimensionalMass(t *testing.T) {
	old := *ground().Services[0].Dimensional
	new := old
	new.Divisor.Volume, new.Round.Mode = 139*CubicInch, Up
	capped := old
	capped.Most = 10 * lb
	for name, c := range map[string]struct {
		d    Dimensional
		p    *Parcel
		want measure.Mass
	}{
		"24 × 18 × 6 by 166":                 {old, box(24*in, 18*in, 6*in, 1), 16 * lb},
		"24 × 18 × 6 by 139":                 {new, box(24*in, 18*in, 6*in, 1), 19 * lb},
		"12 × 12 × 12 is not over 1728":      {old, box(12*in, 12*in, 12*in, 1), 0},
		"12.49 rounds down to 12":            {old, box(12*in+in*49/100, 12*in, 12*in, 1), 0},
		"12.5 rounds up to 13: 1872 / 166":   {old, box(12*in+in/2, 12*in, 12*in, 1), 12 * lb},
		"12.01 rounds up to 13 by the later": {new, box(12*in+in/100, 12*in, 12*in, 1), 14 * lb},
		"tube 30 × 6: 1080 in³":              {old, tube(30*in, 6*in, 1), 0},
		"tube 40 × 8: 2009.6 in³":            {old, tube(40*in, 8*in, 1), 13 * lb},
		"tube 2201 in³ · 0.785 = 1727.8":     {old, tube(22*in, 10*in, 1), 0},
		"never over the cap":                 {capped, box(24*in, 18*in, 6*in, 1), 10 * lb},
		"exactly 166 · 12":                   {old, box(24*in, 83*in, in, 1), 12 * lb},
	} {
		if got := c.d.Mass(c.p.Size, c.p.Form); got != c.want {
			t.Errorf("%s: %v, want %v", name, got, c.want)
		}
	}
}

func TestBilledIsTheGreater(t *testing.T) {
	o := offer(ground(), near)
	for mass, want := range map[measure.Mass]measure.Mass{lb: 16 * lb, 16 * lb: 16 * lb, 17 * lb: 17 * lb} {
		got, why := o.Price(box(24*in, 18*in, 6*in, mass), Extras{})
		if why != nil || got.Billed != want {
			t.Errorf("%v: billed %v %v, want %v", mass, got.Billed, why, want)
		}
	}
}

// Source: Notice 123 of 2025-10-05, page 35: girth is the way round the thickest part; page 15: at most
// 108 in of length and girth. Of a box 2 · (w + h); 36 + 2 · (18 + 18) = 108.
func TestLengthAndGirth(t *testing.T) {
	o := offer(ground(), near)
	if _, why := o.Price(box(36*in, 18*in, 18*in, lb), Extras{}); why != nil {
		t.Errorf("108 in is refused: %s", why.Text)
	}
	_, why := o.Price(box(36*in+1, 18*in, 18*in, lb), Extras{})
	want := &Reason{Rule: "limit.length+girth", Got: int64(108*in) + 1, Limit: int64(108 * in), Unit: "nm"}
	if why != nil {
		want.Text = why.Text
	}
	if d := cmp.Diff(want, why); d != "" {
		t.Error(d)
	}
	// A tube of 10 in: π · 10 in = 31.4159 in; a box round it would have 40 in.
	if g := tube(60*in, 10*in, 1).Size.Girth(Cylinder); g < 31*in || g > 32*in || g*1_000_000 < 3_141_592*10*in {
		t.Errorf("girth of a tube: %v", g)
	}
	if g := SizeOf(10*in, 10*in, 3*in).Girth(Cylinder); g != 26*in {
		t.Errorf("girth of a short, wide tube: %v", g)
	}
}

// Source: Notice 123 of 2025-10-05, page 15 (nonstandard fees: "exceeds" is strict; tubes 4.00).
func TestSurcharges(t *testing.T) {
	o := offer(ground(), near)
	for name, c := range map[string]struct {
		p    *Parcel
		want []string
	}{
		"22 in":              {box(22*in, 5*in, 5*in, lb), nil},
		"over 22 in":         {box(22*in+1, 5*in, 5*in, lb), []string{"length22"}},
		"30 in":              {box(30*in, 5*in, 5*in, lb), []string{"length22"}},
		"over 30 in":         {box(30*in+1, 5*in, 5*in, lb), []string{"length30"}},
		"2 cubic feet":       {box(16*in, 16*in, 13*in+in/2, lb), nil},
		"over 2 cubic feet":  {box(16*in, 16*in, 13*in+in/2+1, lb), []string{"volume"}},
		"tube":               {tube(20*in, 3*in, lb), []string{"tube"}},
		"long tube: both":    {tube(31*in, 3*in, lb), []string{"length30", "tube"}},
		"cornered long tube": {box(31*in, 3*in, 3*in, lb), []string{"length30"}},
	} {
		price, why := o.Price(c.p, Extras{})
		if why != nil {
			t.Errorf("%s: %s", name, why.Text)
			continue
		}
		var got []string
		for _, l := range price.Lines {
			if l.Rule == "surcharge" {
				got = append(got, l.What)
			}
		}
		if d := cmp.Diff(c.want, got); d != "" {
			t.Errorf("%s: %s", name, d)
		}
	}
}

// Source: Notice 123 of 2025-10-05, page 27; included cover: US Postal Service news of 2023-05-11.
func TestCover(t *testing.T) {
	cover := ground().Services[0].Cover
	for value, want := range map[int64]int64{0: 0, 10000: 0, 10001: 440, 20000: 440, 20001: 445, 60000: 895, 60001: 1045, 70000: 1045, 70001: 1195, 500000: 895 + 44*150} {
		if got, _, ok := cover.Price(value); !ok || got != want {
			t.Errorf("cover for %d: %d %v, want %d", value, got, ok, want)
		}
	}
	if _, most, ok := cover.Price(500001); ok || most != 500000 {
		t.Errorf("more than 5000.00 is covered (most %d)", most)
	}
	if _, _, ok := (*Cover)(nil).Price(1); ok {
		t.Error("a service without cover covers")
	}
	if _, most, ok := (&Cover{Included: 5000}).Price(5001); ok || most != 5000 {
		t.Error("more than the included cover is covered")
	}
}

func TestLinesAddUp(t *testing.T) {
	p := tube(31*in, 3*in, 5*oz)
	p.Value = 30000
	got, why := offer(ground(), losAngeles).Price(p, Extras{Cover: 30000, Signature: true, Tracking: true})
	if why != nil {
		t.Fatal(why.Text)
	}
	src := func(rule, what, text string, amount int64) Line {
		return Line{Rule: rule, What: what, Text: text, Count: 1, Amount: amount, Source: "Notice 123, 2025-10-05", Status: "primary"}
	}
	want := Price{Total: 837 + 840 + 400 + 445 + 395, Billed: 5 * oz, Lines: []Line{
		src("postage", "ground", "Ground Advantage, zone 8, up to 15.999 oz", 837),
		src("surcharge", "length30", "longer than 30 in", 840),
		src("surcharge", "tube", "tube or roll", 400),
		src("cover", "ground", "cover for 300.00 USD", 445),
		src("signature", "ground", "signature on delivery", 395),
	}}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
}

// Source: Universal Postal Union roll rule as the Serbian operator prints it: length and twice the
// diameter at most 104 cm, longest side 90 cm.
func TestLengthAndTwoDiameters(t *testing.T) {
	cm := measure.Centimetre
	c := ground()
	c.Services[0].Limits = []Bound{{Form: Cylinder, Measure: LengthTwoDiameters, Max: ptr(int64(104 * cm))}, {Form: Box, Measure: LengthWidthHeight, Max: ptr(int64(90 * cm))}}
	o := offer(c, near)
	if _, ok := o.Cost(tube(90*cm, 7*cm, lb), Extras{}); !ok {
		t.Error("90 + 2 · 7 = 104 cm is refused")
	}
	if _, ok := o.Cost(tube(90*cm+1, 7*cm, lb), Extras{}); ok {
		t.Error("104 cm and a nanometre is taken")
	}
	if _, ok := o.Cost(box(50*cm, 30*cm, 10*cm, lb), Extras{}); !ok {
		t.Error("50 + 30 + 10 = 90 cm is refused")
	}
	if _, ok := o.Cost(box(50*cm, 30*cm, 10*cm+1, lb), Extras{}); ok {
		t.Error("90 cm and a nanometre is taken")
	}
}

// Source: Domestic Mail Manual Advisory of 2010-12-03: cubic prices round dimensions down to a quarter
// of an inch first. 12.2 × 12.2 × 12.2 in counts as 12³ = 1 cubic foot.
func TestCubicPricesRoundDown(t *testing.T) {
	c := ground()
	s := &c.Services[0]
	s.Dimensional, s.Surcharges = nil, nil
	s.Prices = Prices{By: ByVolume, Round: Rounding{in / 4, Down}, Zones: []string{"1"}, Rows: []Row{{Volume: CubicFoot / 10, Prices: []Cell{692}}, {Volume: CubicFoot, Prices: []Cell{900}}}}
	o := offer(c, near)
	side := 12*in + in/5
	if got, ok := o.Cost(box(side, side, side, 20*lb), Extras{}); !ok || got != 900 {
		t.Errorf("%d %v, want 900", got, ok)
	}
	_, why := o.Price(box(side+in/20, side, side, 20*lb), Extras{})
	if why == nil || why.Rule != "price.step" || why.Unit != "um3" {
		t.Errorf("12 1/4 × 12 × 12 in is more than a cubic foot: %+v", why)
	}
	if got, ok := o.Cost(box(12*in, 12*in, 12*in/10, lb), Extras{}); !ok || got != 692 {
		t.Errorf("a tenth of a cubic foot: %d %v, want 692", got, ok)
	}
}
