package wrap_test

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"solander/measure"
	"solander/packing"
	"solander/packing/planner"
	"solander/papers"
	"solander/papers/wrap"
	"solander/tariff"
)

// eighths draws a length between two numbers of eighths of an inch.
func eighths(t *rapid.T, what string, from, to int) measure.Length {
	return measure.Length(rapid.IntRange(from, to).Draw(t, what)) * measure.Inch / 8
}

// drawProblem makes a problem of one order with the price card of the published example, so heavy that
// weight never matters.
func drawProblem(t *rapid.T, example string) packing.Problem {
	p, err := packing.ReadProblem(strings.NewReader(strings.Replace(example, `{"mass": "1 lb"`, `{"mass": "70 lb"`, 1)))
	if err != nil {
		t.Fatal(err)
	}
	p.Rules = nil
	o := &p.Orders[0]
	o.Sheets = nil
	for i := range rapid.IntRange(1, 3).Draw(t, "kinds") {
		o.Sheets = append(o.Sheets, packing.Sheet{
			ID: fmt.Sprint("sheet ", i), Width: eighths(t, "width", 40, 100), Height: eighths(t, "height", 40, 100), Caliper: 20 * measure.Mil, Grammage: 310 * measure.GSM,
			Copies: rapid.IntRange(1, 3).Draw(t, "copies"), Roll: &packing.Roll{Tightest: 2 * measure.Inch},
		})
	}
	both := rapid.IntRange(0, 2).Draw(t, "both") == 0
	if both {
		o.Sheets[0].Roll = nil
		o.Sheets = append(o.Sheets, packing.Sheet{
			ID: "sheet 9", Width: eighths(t, "width", 60, 110), Height: eighths(t, "height", 60, 110), Caliper: 20 * measure.Mil, Grammage: 310 * measure.GSM, Roll: &packing.Roll{Tightest: 2 * measure.Inch},
		})
	}
	in := measure.Inch
	p.Shelf = []packing.Item{
		{ID: "sleeve", Kind: packing.Sleeve, Width: 14 * in, Height: 14 * in, Wall: 2 * measure.Mil},
		{ID: "tissue", Kind: packing.Tissue, Width: 20 * in, Height: 30 * in, Caliper: measure.Mil},
		{ID: "board", Kind: packing.Board, Width: eighths(t, "board", 110, 130), Height: 15 * in, Caliper: 60 * measure.Mil, Stiff: true},
		{ID: "envelope", Kind: packing.Envelope, Width: 17 * in, Height: 18 * in, Wall: 20 * measure.Mil, Outer: &packing.Outer{Height: 19 * in}},
		{ID: "thin", Kind: packing.Envelope, Width: 17 * in, Height: 20 * in, Wall: 20 * measure.Mil, Thickest: 50 * measure.Mil},
		{ID: "carton", Kind: packing.Carton, Length: 20 * in, Width: 18 * in, Height: 4 * in, Wall: in / 8, Cut: &packing.Cut{Shortest: in, Step: in / 4}, CutBase: &packing.CutBase{ShortestLength: 9 * in, ShortestWidth: 9 * in, Step: in}, Outer: &packing.Outer{Height: 5 * in}},
		{ID: "tube", Kind: packing.Tube, Diameter: 3 * in, Length: 20 * in, Wall: in / 16, Outer: &packing.Outer{Length: 21 * in}, Cut: &packing.Cut{Shortest: 8 * in, Step: in}},
	}
	p.Shelf = append(p.Shelf,
		packing.Item{ID: "roomy", Kind: packing.Carton, Length: 20 * in, Width: 18 * in, Height: 4 * in, Wall: in / 8, Cost: 10},
		packing.Item{ID: "low", Kind: packing.Carton, Length: eighths(t, "carton", 130, 190), Width: eighths(t, "carton", 110, 150), Height: 13 * in / 4, Wall: in / 8})
	of := func(s packing.Shape, l packing.Layer) packing.Layer { l.Of = s; return l }
	per := func(k packing.Kind, per packing.Per, n int) packing.Layer {
		return packing.Layer{Kind: k, Per: per, Count: n}
	}
	p.Wraps = []packing.Wrap{rapid.SampledFrom([]packing.Wrap{
		{ID: "sleeves", Shape: packing.Flat, Layers: []packing.Layer{per(packing.Sleeve, packing.PerSheet, 0), per(packing.Board, "", 2), per(packing.Envelope, "", 0)}},
		{ID: "interleaved", Shape: packing.Flat, Layers: []packing.Layer{per(packing.Tissue, packing.PerGap, 1), per(packing.Tissue, "", 2), per(packing.Board, "", 3), per(packing.Carton, "", 0)}},
		{ID: "nested", Shape: packing.Flat, Layers: []packing.Layer{per(packing.Tissue, packing.PerSheet, 1), per(packing.Board, packing.PerSheet, 1), per(packing.Envelope, "", 0), per(packing.Carton, "", 0)}},
		{ID: "beside", Shape: packing.Flat, Beside: 4, Between: in / 8, Layers: []packing.Layer{
			per(packing.Tissue, packing.PerSheet, 1), per(packing.Tissue, packing.PerGap, 1), {Kind: packing.Envelope, Items: []string{"thin"}},
		}},
		{ID: "rolled", Shape: packing.Rolled, Core: 2 * in, Layers: []packing.Layer{per(packing.Tissue, packing.PerGap, 1), per(packing.Tissue, "", 1), per(packing.Tube, "", 0)}},
	}).Draw(t, "wrap")}
	if both {
		p.Wraps = []packing.Wrap{{ID: "both", Shape: packing.Both, Layers: []packing.Layer{
			of(packing.Rolled, per(packing.Tissue, packing.PerGap, 1)), of(packing.Rolled, per(packing.Tube, "", 0)),
			of(packing.Flat, per(packing.Sleeve, packing.PerSheet, 0)), of(packing.Flat, per(packing.Board, "", 2)),
			{Kind: packing.Carton, Items: []string{"roomy", "low"}},
		}}}
	}
	return p
}

// drawnSize returns the outer size that the drawings of a wrap sheet show.
func drawnSize(t *rapid.T, s wrap.Sheet) tariff.Size {
	views := map[string]papers.View{}
	for _, v := range s.Views {
		views[v.Name] = v
	}
	if tube, ok := views["Along the tube"]; ok && len(views) == 2 {
		_, _, long, across := tube.Bounds()
		return tariff.SizeOf(long, across, across)
	}
	_, _, long, short := views["From above"].Bounds()
	cut := views["Cut through"]
	times := measure.Length(1)
	if cut.Note != "" {
		if _, err := fmt.Sscanf(cut.Note, "thickness drawn %d times", &times); err != nil {
			t.Fatalf("note %q: %v", cut.Note, err)
		}
	}
	_, _, along, thick := cut.Bounds()
	if along != long || thick%times != 0 {
		t.Fatalf("the section is %v long and %v thick, drawn %d times; from above it is %v long", along, thick, times, long)
	}
	return tariff.SizeOf(long, short, thick/times)
}

// The planner and the wrap sheet build a parcel up apart from each other: what is drawn has the outer size
// that was planned.
func TestDrawnAsPlanned(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	example, err := os.ReadFile("../../docs/formats/examples/one-print.json")
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]int{}
	rapid.Check(t, func(t *rapid.T) {
		p := drawProblem(t, string(example))
		plan, err := planner.Plan(t.Context(), p, nil)
		if err != nil {
			t.Fatal(err)
		}
		for _, parcel := range plan.Parcels {
			s := wrap.Of(papers.Head{Units: measure.Imperial}, parcel, wrap.In{Wrap: p.Wraps[0], Items: p.Shelf, Sheets: p.Orders[0].Sheets})
			if got := drawnSize(t, s); got != parcel.Size {
				t.Fatalf("%s: drawn %+v, planned %+v", parcel.Wrap, got, parcel.Size)
			}
			seen[parcel.Wrap]++
			if parcel.Shape == packing.Both {
				seen["lies "+string(parcel.Roll.Lies)]++
			}
			if parcel.Mat != nil {
				seen["a mat"]++
			}
			if parcel.Layers[len(parcel.Layers)-1].CutLength > 0 {
				seen["a cut base"]++
			}
		}
	})
	for _, wrap := range []string{"sleeves", "interleaved", "nested", "beside", "a mat", "a cut base", "rolled", "both", "lies on", "lies long"} {
		if seen[wrap] == 0 {
			t.Errorf("no parcel of the wrap %q was planned: nothing was tested (%v)", wrap, seen)
		}
	}
}
