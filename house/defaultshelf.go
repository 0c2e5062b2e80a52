package house

import (
	"fmt"
	"strconv"

	"solander/measure"
	"solander/packing"
	"solander/studio"
)

// exampleCost stands on every item that set-up offers.
const exampleCost = "example size, weight and cost: enter your own"

// eighths is a length in eighths of an inch, in which the example sizes are written.
func eighths(n int) measure.Length { return measure.Length(n) * measure.Inch / 8 }

// inches writes eighths of an inch as a key does: "9.75".
func inches(n int) string { return strconv.FormatFloat(float64(n)/8, 'f', -1, 64) }

// flatPiece is an example of a flat kind of packaging: sides in eighths of an inch, weight in grams,
// cost in cents.
type flatPiece struct{ w, h, grams, cost int }

// defaultShelf is packaging in generic sizes, none of it on hand, as it is sold in the units of a studio.
func defaultShelf(u measure.System) []studio.ShelfItem {
	if u == measure.Metric {
		return metricShelf()
	}
	return inchShelf()
}

func inchShelf() []studio.ShelfItem {
	var out []studio.ShelfItem
	add := func(spec packing.Item, reorder, pack int) {
		spec.Note = exampleCost
		out = append(out, studio.ShelfItem{Spec: spec, ReorderAt: reorder, Pack: pack})
	}
	for _, f := range []flatPiece{{42, 58, 4, 6}, {66, 82, 7, 9}, {74, 98, 9, 11}, {90, 114, 12, 14}, {98, 130, 15, 18}, {106, 154, 19, 24}, {130, 162, 25, 30}, {146, 194, 34, 42}} {
		add(flat(packing.Sleeve, "sleeve", f, packing.Item{Wall: measure.Millimetre / 25}), 10, 100)
	}
	for _, f := range []flatPiece{{160, 240, 8, 5}, {192, 288, 12, 8}} {
		add(flat(packing.Tissue, "tissue", f, packing.Item{Caliper: measure.Millimetre / 20}), 20, 100)
	}
	for _, f := range []flatPiece{{72, 96, 38, 25}, {96, 120, 64, 34}, {104, 136, 78, 40}, {112, 160, 99, 50}, {136, 168, 126, 64}, {152, 200, 167, 85}} {
		add(flat(packing.Board, "board", f, packing.Item{Caliper: measure.Inch / 8, Stiff: true}), 10, 25)
	}
	for _, f := range []flatPiece{{48, 64, 32, 20}, {56, 72, 40, 24}, {72, 92, 62, 34}, {78, 98, 70, 38}, {80, 104, 74, 40}, {88, 112, 88, 46}, {96, 120, 105, 52}, {104, 136, 128, 62}, {112, 144, 146, 70}, {112, 160, 162, 76}, {120, 168, 182, 84}} {
		add(flat(packing.Envelope, "envelope", f, packing.Item{Wall: measure.Millimetre * 6 / 10, Thickest: measure.Inch / 2, Stiff: true}), 5, 25)
	}
	return append(out, inchBoxes()...)
}

func flat(kind packing.Kind, name string, f flatPiece, spec packing.Item) packing.Item {
	spec.Kind, spec.ID = kind, fmt.Sprintf("%s-%sx%s", name, inches(f.w), inches(f.h))
	spec.Width, spec.Height = eighths(f.w), eighths(f.h)
	spec.Name = flatNames[kind] + " " + spec.Width.In(measure.Imperial) + " × " + spec.Height.In(measure.Imperial)
	spec.Mass, spec.Cost = measure.Mass(f.grams)*measure.Gram, int64(f.cost)
	return spec
}

// flatNames are the flat kinds as a person names a piece.
var flatNames = map[packing.Kind]string{packing.Sleeve: "film sleeve", packing.Tissue: "tissue", packing.Board: "stiff board", packing.Envelope: "stiff envelope"}

// inchBoxes are tubes, cartons that are cut down, and a carton as operators issue them for a class.
func inchBoxes() []studio.ShelfItem {
	var out []studio.ShelfItem
	add := func(spec packing.Item, name string, grams, cost int) {
		spec.Name, spec.Note, spec.Mass, spec.Cost = name, exampleCost, measure.Mass(grams)*measure.Gram, int64(cost)
		out = append(out, studio.ShelfItem{Spec: spec, ReorderAt: 3, Pack: 25})
	}
	for _, b := range []struct{ length, diameter, grams, cost int }{{18, 3, 135, 140}, {24, 3, 175, 165}, {30, 4, 310, 240}, {38, 4, 390, 290}} {
		add(packing.Item{
			ID: fmt.Sprintf("tube-%dx%d", b.length, b.diameter), Kind: packing.Tube, Length: measure.Length(b.length) * measure.Inch,
			Diameter: measure.Length(b.diameter) * measure.Inch, Wall: measure.Millimetre * 2,
		}, fmt.Sprintf("tube %d in long, %d in inside", b.length, b.diameter), b.grams, b.cost)
	}
	cut := &packing.Cut{Shortest: measure.Inch / 2, Step: measure.Inch / 4}
	for _, b := range []struct{ length, width, grams, cost int }{{13, 10, 150, 120}, {16, 13, 215, 165}, {18, 14, 250, 185}, {21, 15, 300, 220}, {22, 18, 365, 260}, {26, 20, 460, 320}} {
		add(carton(fmt.Sprintf("carton-%dx%dx4", b.length, b.width), b.length, b.width, 4, cut),
			fmt.Sprintf("carton %d × %d × 4 in", b.length, b.width), b.grams, b.cost)
	}
	issued := carton("carton-issued-16x13x3", 16, 13, 3, cut)
	issued.IssuedFor = "priority"
	add(issued, "carton 16 × 13 × 3 in, issued free by the operator for its better class", 230, 0)
	return out
}

func carton(id string, length, width, height int, cut *packing.Cut) packing.Item {
	return packing.Item{
		ID: id, Kind: packing.Carton, Length: measure.Length(length) * measure.Inch, Width: measure.Length(width) * measure.Inch,
		Height: measure.Length(height) * measure.Inch, Wall: measure.Millimetre * 3, Cut: cut,
	}
}
