package wrap

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"solander/calendar"
	"solander/measure"
	"solander/packing"
	"solander/papers"
	"solander/tariff"
)

const in = measure.Inch

var h = papers.Head{Studio: "Saltmarsh Studio", Day: calendar.Date(2026, 4, 15), Units: measure.Imperial}

func print16(id string) packing.Sheet {
	return packing.Sheet{ID: id, Width: 12 * in, Height: 16 * in, Caliper: 20 * measure.Mil}
}

// texts returns the texts of the steps.
func texts(s Sheet) []string {
	var out []string
	for _, st := range s.Steps {
		out = append(out, st.Text)
	}
	return out
}

func named(t *testing.T, s Sheet, name string) papers.View {
	t.Helper()
	for _, v := range s.Views {
		if v.Name == name {
			return v
		}
	}
	t.Fatalf("no view %q in %+v", name, s.Views)
	return papers.View{}
}

// envelope is a parcel of two prints, each in a sleeve, between two boards in a stiff envelope.
func envelope() (packing.Parcel, In) {
	items := []packing.Item{
		{ID: "s", Kind: packing.Sleeve, Width: 13 * in, Height: 17 * in, Wall: measure.Mil},
		{ID: "b", Kind: packing.Board, Width: 13 * in, Height: 18 * in, Caliper: 60 * measure.Mil},
		{ID: "e", Name: "rigid", Kind: packing.Envelope, Width: 14 * in, Height: 19 * in, Wall: 25 * measure.Mil, Outer: &packing.Outer{Width: 15 * in}},
	}
	p := packing.Parcel{Contents: []packing.Content{{Sheet: "a", Copies: 1}, {Sheet: "c", Copies: 1}}, Service: "post", Mass: 12 * measure.Ounce, Layers: []packing.LayerPlan{
		{Layer: 0, Kind: packing.Sleeve, Item: "s", Count: 1, Sheet: "a"},
		{Layer: 0, Kind: packing.Sleeve, Item: "s", Count: 1, Sheet: "c"},
		{Layer: 1, Kind: packing.Board, Item: "b", Count: 2},
		{Layer: 2, Kind: packing.Envelope, Item: "e", Count: 1},
	}, Size: tariff.SizeOf(19050*measure.Mil, 15*in, 214*measure.Mil)}
	wrap := packing.Wrap{ID: "w", Layers: []packing.Layer{{Kind: packing.Sleeve, Per: packing.PerSheet}, {Kind: packing.Board, Count: 2}, {Kind: packing.Envelope}}}
	return p, In{Mark: "S-1", Wrap: wrap, Items: items, Sheets: []packing.Sheet{print16("a"), print16("c")}, Prints: map[string]string{"a": "17/250 Heron", "c": "3/50 Tide"}}
}

// The drawings are built up as docs/formats/physics.md says: sides of the outer size, thickness the sum of
// 2 × (0.020 + 2 × 0.001) + 2 × 0.060 + 2 × 0.025 in = 0.214 in.
func TestAFlatParcelIsDrawnAtItsOuterSize(t *testing.T) {
	p, what := envelope()
	s := Of(h, p, what)
	if _, _, w, ht := named(t, s, "From above").Bounds(); w != p.Size.Length || ht != p.Size.Width {
		t.Errorf("from above %v × %v, outside %+v", w, ht, p.Size)
	}
	section := named(t, s, "Cut through")
	if _, _, w, ht := section.Bounds(); w != p.Size.Length || ht != 20*p.Size.Height || section.Note != "thickness drawn 20 times as large as length" {
		t.Errorf("cut through %v × %v (%s), thickness %v", w, ht, section.Note, p.Size.Height)
	}
	want := []string{"2 prints: 17/250 Heron; 3/50 Tide.", "Slip 17/250 Heron into a sleeve: s.", "Slip 3/50 Tide into a sleeve: s.", "Put the stack between 2 boards: b.", "Into an envelope: rigid.", "Close it, weigh it, and label it."}
	if d := cmp.Diff(want, texts(s)); d != "" {
		t.Error(d)
	}
	if s.Cautions != nil || s.Cuts != nil {
		t.Errorf("nothing is cut, yet: %v %v", s.Cautions, s.Cuts)
	}
	if d := cmp.Diff([]Fact{{"Service", "post"}, {"Size outside", "19 1/16 × 15 × 3/16 in"}, {"Weight", "about 12 oz"}}, s.Facts); d != "" {
		t.Error(d)
	}
}

// A name that says its size has it said once; what else is to be known stays.
func TestASizeInANameIsSaidOnce(t *testing.T) {
	p, what := envelope()
	before := Of(h, p, what).Steps
	what.Items[0].Name, what.Items[2].Name = "film sleeve 13 × 17 in", "stiff envelope 14 × 19 in"
	what.Items[2].Thickest = in / 2
	after := Of(h, p, what).Steps
	if before[1].Detail != "13 × 17 in" || after[1].Detail != "" || before[4].Detail != "inside 14 × 19 in" || after[4].Detail != "for contents of at most 1/2 in" || before[3].Detail != after[3].Detail {
		t.Errorf("before %+v\n after %+v", before, after)
	}
}

// Each layer of the parcel has a step, and each step that shows something has a shape that it points to.
func TestEveryLayerIsDrawn(t *testing.T) {
	p, what := envelope()
	s := Of(h, p, what)
	for _, view := range []string{"From above", "Cut through"} {
		shown := map[int]bool{}
		for _, x := range named(t, s, view).Shapes {
			shown[x.Step] = true
		}
		for step := 1; step < len(s.Steps); step++ { // the last is closing
			if !shown[step] {
				t.Errorf("%s: step %d (%s) is not drawn", view, step, s.Steps[step-1].Text)
			}
		}
	}
}

// cutCartonParcel is one print between boards in a carton of 18 × 14 × 6 in cut down to 2 in.
func cutCartonParcel() (packing.Parcel, In) {
	items := []packing.Item{
		{ID: "b", Kind: packing.Board, Width: 13 * in, Height: 17 * in, Caliper: in / 8},
		{ID: "k", Kind: packing.Carton, Length: 18 * in, Width: 14 * in, Height: 10 * in, Wall: in / 8, Cut: &packing.Cut{Shortest: in, Step: in}, IssuedFor: "priority"},
	}
	p := packing.Parcel{Contents: []packing.Content{{Sheet: "a", Copies: 1}}, Layers: []packing.LayerPlan{
		{Layer: 0, Kind: packing.Board, Item: "b", Count: 2}, {Layer: 1, Kind: packing.Carton, Item: "k", Count: 1, CutTo: 2 * in},
	}, Size: tariff.SizeOf(73*in/4, 57*in/4, 9*in/4)}
	wrap := packing.Wrap{ID: "w", Layers: []packing.Layer{{Kind: packing.Board, Count: 2}, {Kind: packing.Carton}}}
	return p, In{Wrap: wrap, Items: items, Sheets: []packing.Sheet{print16("a")}}
}

func TestACutDownCarton(t *testing.T) {
	p, what := cutCartonParcel()
	s := Of(h, p, what)
	if _, _, w, ht := named(t, s, "Cut through").Bounds(); w != p.Size.Length || ht != 2*p.Size.Height {
		t.Errorf("cut through %v × %v, want %v × twice %v", w, ht, p.Size.Length, p.Size.Height)
	}
	if len(s.Cuts) != 1 {
		t.Fatalf("%d cuts", len(s.Cuts))
	}
	c := s.Cuts[0]
	// 2 in stay of 10: 8 in are folded in, more than half of 14 in, so that the flaps are trimmed to 7 in.
	says := strings.Join(c.Steps, "\n")
	for _, want := range []string{"Mark 2 in above", "rim down to the mark: 8 in.", "Trim each new flap to 7 in at most", "issued for: priority"} {
		if !strings.Contains(says, want) {
			t.Errorf("the cut does not say %q:\n%s", want, says)
		}
	}
	if _, _, w, ht := c.View.Bounds(); w != 2*(18+14)*in || ht != 10*in {
		t.Errorf("walls laid out %v × %v, want 64 × 10 in", w, ht)
	}
	cuts := 0
	for _, x := range c.View.Shapes {
		switch {
		case x.Role == papers.RoleCut && (x.H != 8*in || x.Y != 0):
			t.Errorf("a corner is cut %v from %v, want 8 in from the rim", x.H, x.Y)
		case x.Role == papers.RoleFold && (x.Y != 8*in || x.W != 64*in):
			t.Errorf("the score is %v long at %v", x.W, x.Y)
		case x.Role == papers.RoleCut:
			cuts++
		}
	}
	if cuts != 5 { // four corners, the first one on both ends of the strip
		t.Errorf("%d cut lines, want 5", cuts)
	}
	if d := cmp.Diff(papers.BladeCautions(), s.Cautions); d != "" {
		t.Error(d)
	}
	last := s.Steps[len(s.Steps)-2]
	if !strings.Contains(last.Detail, "1 3/4 in left above the contents") { // 2 − 0.27 in, to the nearest sixteenth
		t.Errorf("%q", last.Detail)
	}
}

// The roll of docs/formats/physics.md, section 3: 18 × 24 in, 0.5 mm, round 76.2 mm: 78.0865 mm outside.
func rolledParcel(more ...packing.LayerPlan) (packing.Parcel, In) {
	items := []packing.Item{
		{ID: "t", Name: "tube", Kind: packing.Tube, Diameter: 13 * measure.Inch / 4, Length: 30 * measure.Inch, Wall: measure.Inch / 16, Outer: &packing.Outer{Length: 31 * measure.Inch}, Cut: &packing.Cut{Shortest: 20 * measure.Inch, Step: measure.Inch}},
		{ID: "o", Kind: packing.Envelope, Width: 6 * measure.Inch, Height: 30 * measure.Inch},
	}
	p := packing.Parcel{Contents: []packing.Content{{Sheet: "a", Copies: 1}}, Roll: &packing.RollPlan{Axis: 24 * measure.Inch, Strip: 18 * measure.Inch, Pack: 500 * measure.Micrometre, Inner: 3 * measure.Inch, Outer: 78_086_500}}
	p.Layers = append([]packing.LayerPlan{{Layer: 0, Kind: packing.Tube, Item: "t", Count: 1, CutTo: 25 * measure.Inch}}, more...)
	wrap := packing.Wrap{ID: "w", Shape: packing.Rolled, Layers: []packing.Layer{{Kind: packing.Tube}, {Kind: packing.Envelope}}}
	return p, In{Wrap: wrap, Items: items, Sheets: []packing.Sheet{{ID: "a", Width: 18 * measure.Inch, Height: 24 * measure.Inch, Caliper: 500 * measure.Micrometre}}}
}

func TestARollInItsTube(t *testing.T) {
	p, what := rolledParcel()
	s := Of(h, p, what)
	end := named(t, s, "End of the tube")
	want := []measure.Length{27 * in / 8, 13 * in / 4, 78_086_500, 3 * in}
	for i, d := range want {
		if x := end.Shapes[i]; x.W != d || x.H != d || !x.Round {
			t.Errorf("circle %d: %v × %v, want %v", i, x.W, x.H, d)
		}
	}
	along := named(t, s, "Along the tube")
	if got := along.Shapes[0]; got.W != 26*in || got.H != 27*in/8 { // 31 in less the 5 in cut off
		t.Errorf("tube %v × %v", got.W, got.H)
	}
	if len(s.Views) != 2 || len(s.Cuts) != 1 || !strings.Contains(s.Cuts[0].Steps[0], "5 in comes off") || len(s.Cautions) == 0 {
		t.Errorf("%d views, cuts %+v", len(s.Views), s.Cuts)
	}
	p, what = rolledParcel(packing.LayerPlan{Layer: 1, Kind: packing.Envelope, Item: "o", Count: 1})
	outer := Of(h, p, what)
	if _, _, w, ht := named(t, outer, "From above").Bounds(); w != 30*in || ht != 6*in {
		t.Errorf("tube in an envelope: %v × %v", w, ht)
	}
}

// A parcel whose items, sheets and wrap are not known any more still gives a sheet.
func TestWrapIsTotal(t *testing.T) {
	p, _ := envelope()
	s := Of(papers.Head{}, p, In{})
	if d := cmp.Diff("2 prints: a; c.", s.Steps[0].Text); d != "" {
		t.Error(d)
	}
	if len(s.Steps) != 6 {
		t.Errorf("%v", texts(s))
	}
	p, _ = rolledParcel()
	if s := Of(papers.Head{}, p, In{}); len(s.Steps) == 0 {
		t.Error("no steps")
	}
}

// Interleaves of several layers lie between the prints; many prints are drawn as one slab of the same
// thickness.
func TestInterleaves(t *testing.T) {
	tissue := packing.Item{ID: "i", Kind: packing.Tissue, Width: 20 * in, Height: 30 * in, Caliper: 2 * measure.Mil}
	env := packing.Item{ID: "e", Kind: packing.Envelope, Width: 13 * in, Height: 17 * in, Wall: 10 * measure.Mil}
	gap := packing.Layer{Kind: packing.Tissue, Per: packing.PerGap}
	for _, n := range []int{2, 3, 12, 13, 40} {
		p := packing.Parcel{Contents: []packing.Content{{Sheet: "a", Copies: n}}, Layers: []packing.LayerPlan{
			{Layer: 0, Kind: packing.Tissue, Item: "i", Count: n - 1}, {Layer: 1, Kind: packing.Tissue, Item: "i", Count: 2 * (n - 1)}, {Layer: 2, Kind: packing.Envelope, Item: "e", Count: 1},
		}}
		b := newBuild(measure.Imperial, p, In{Items: []packing.Item{tissue, env}, Sheets: []packing.Sheet{print16("a")}, Wrap: packing.Wrap{Layers: []packing.Layer{gap, {Kind: packing.Tissue, Per: packing.PerGap, Count: 2}, {Kind: packing.Envelope}}}})
		b.run()
		want := measure.Length(n)*20*measure.Mil + measure.Length(n-1)*3*2*measure.Mil + 20*measure.Mil
		if got := b.thickness(); got != want {
			t.Errorf("%d prints: %v thick, want %v", n, got, want)
		}
	}
}

// sideBySide is three cards of 5 × 7 in, each in a sleeve, two beside one another and one on them, 1/4 in apart, with
// tissue between the tiers, in an envelope.
func sideBySide() (packing.Parcel, In) {
	items := []packing.Item{
		{ID: "s", Kind: packing.Sleeve, Width: 5 * in, Height: 7 * in, Wall: measure.Mil, Outer: &packing.Outer{Width: 6 * in, Height: 8 * in}},
		{ID: "t", Kind: packing.Tissue, Width: 20 * in, Height: 30 * in, Caliper: 2 * measure.Mil},
		{ID: "e", Kind: packing.Envelope, Width: 9 * in, Height: 13 * in},
	}
	spot := func(x measure.Length) packing.Spot {
		return packing.Spot{Sheet: "a", X: x, Width: 6 * in, Height: 8 * in}
	}
	p := packing.Parcel{
		Contents: []packing.Content{{Sheet: "a", Copies: 3}}, Mass: 3 * measure.Ounce,
		Mat: &packing.Mat{Width: 49 * in / 4, Height: 8 * in, Tiers: []packing.Tier{
			{Thickness: 22 * measure.Mil, Spots: []packing.Spot{spot(0), spot(25 * in / 4)}}, {Thickness: 22 * measure.Mil, Spots: []packing.Spot{spot(0)}},
		}},
		Layers: []packing.LayerPlan{
			{Layer: 0, Kind: packing.Sleeve, Item: "s", Count: 3, Sheet: "a"}, {Layer: 1, Kind: packing.Tissue, Item: "t", Count: 1}, {Layer: 2, Kind: packing.Envelope, Item: "e", Count: 1},
		},
		Size: tariff.SizeOf(13*in, 9*in, 46*measure.Mil),
	}
	wrap := packing.Wrap{ID: "w", Beside: 2, Between: in / 4, Layers: []packing.Layer{{Kind: packing.Sleeve, Per: packing.PerSheet}, {Kind: packing.Tissue, Per: packing.PerGap}, {Kind: packing.Envelope}}}
	return p, In{Wrap: wrap, Items: items, Sheets: []packing.Sheet{{ID: "a", Width: 5 * in, Height: 7 * in, Caliper: 20 * measure.Mil}}}
}

// The cut through them shows the two cards of the lower tier apart and the one on the left above them, and tissue between.
func TestPrintsSideBySide(t *testing.T) {
	p, what := sideBySide()
	s := Of(h, p, what)
	want := []string{
		"3 prints: 3 × a.", "Slip each print into a sleeve: s.", "Lay the prints in 2 tiers, from the bottom up: 2 side by side, then 1, as drawn; keep them 1/4 in apart.",
		"Lay 1 sheet of tissue between each two tiers: t.", "Into an envelope: e.", "Close it, weigh it, and label it.",
	}
	if d := cmp.Diff(want, texts(s)); d != "" {
		t.Error(d)
	}
	if s.Steps[2].Detail != "together 12 1/4 × 8 in" {
		t.Errorf("%q", s.Steps[2].Detail)
	}
	lower := named(t, s, "Tier 1, from above")
	if _, _, w, ht := lower.Bounds(); w != 49*in/4 || ht != 8*in || lower.Sizes[0] != "2 prints side by side" {
		t.Errorf("%v × %v, %q", w, ht, lower.Sizes)
	}
	var prints []papers.Shape
	for _, x := range lower.Shapes {
		if x.Role == papers.RolePrint {
			prints = append(prints, x)
		}
	}
	if d := cmp.Diff([]papers.Shape{{Step: 1, X: in / 2, Y: in / 2, W: 5 * in, H: 7 * in, Role: papers.RolePrint}, {Step: 1, X: 27 * in / 4, Y: in / 2, W: 5 * in, H: 7 * in, Role: papers.RolePrint}}, prints); d != "" {
		t.Error(d)
	}
	blocks := 0
	for _, x := range named(t, s, "Cut through").Shapes {
		if x.Role == papers.RolePrint && x.W == 6*in {
			blocks++
		}
	}
	if _, _, w, ht := named(t, s, "Cut through").Bounds(); blocks != 3 || w != p.Size.Length || ht != 50*p.Size.Height {
		t.Errorf("%d prints are cut through, %v × %v", blocks, w, ht)
	}
}

// A carton of 18 × 14 in inside cut to 17 × 13 in: the drawings are an inch less each way, and the cut says so with the
// caution for blades.
func TestACartonWithItsBaseCutDown(t *testing.T) {
	p, what := cutCartonParcel()
	p.Layers[1].CutLength, p.Layers[1].CutWidth = 17*in, 13*in
	p.Size = tariff.SizeOf(69*in/4, 53*in/4, 9*in/4)
	s := Of(h, p, what)
	if _, _, w, ht := named(t, s, "From above").Bounds(); w != p.Size.Length || ht != p.Size.Width {
		t.Errorf("from above %v × %v, want %+v", w, ht, p.Size)
	}
	if len(s.Cuts) != 2 || len(s.Cautions) == 0 {
		t.Fatalf("%d cuts, cautions %q", len(s.Cuts), s.Cautions)
	}
	if want := "Into a carton with its base cut down to 17 × 13 in and its height to 2 in inside: k."; !strings.Contains(strings.Join(texts(s), "\n"), want) {
		t.Errorf("no step says %q: %q", want, texts(s))
	}
	says := s.Cuts[0].Title + "\n" + strings.Join(s.Cuts[0].Steps, "\n")
	for _, want := range []string{"to 17 × 13 in inside", "Mark 17 in from one end along the length", "and 1 in further on", "Mark 13 in from one side", "tape every seam", "issued for: priority"} {
		if !strings.Contains(says, want) {
			t.Errorf("the cut does not say %q:\n%s", want, says)
		}
	}
	if _, _, w, ht := s.Cuts[0].View.Bounds(); w != 18*in || ht != 14*in {
		t.Errorf("base drawn %v × %v, want 18 × 14 in", w, ht)
	}
}
