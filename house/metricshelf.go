package house

import (
	"fmt"

	"solander/measure"
	"solander/packing"
	"solander/studio"
)

// metricPiece is an example of a flat kind of packaging: the sides inside in millimetres, weight in grams, cost in hundredths of the studio's money.
type metricPiece struct {
	w, h, grams, cost int
	format            string // of the standard, by its outer size; "" = none
}

// metricShelf is packaging as it is sold in millimetres, none of it on hand: for sheets of the A series of ISO 216 and for the sizes of prints in whole
// centimetres that frames are made for (common practice, no source). Envelopes of a format of ISO 269 (from memory) have its size outside, and two
// millimetres less inside: a B4 is as large as the letters of several operators may be.
func metricShelf() []studio.ShelfItem {
	var out []studio.ShelfItem
	add := func(kind packing.Kind, f metricPiece, spec packing.Item, reorder, pack int) {
		spec.Kind, spec.ID = kind, fmt.Sprintf("%s-%dx%d", kind, f.w, f.h)
		spec.Width, spec.Height = millimetres(f.w), millimetres(f.h)
		spec.Mass, spec.Cost, spec.Note = measure.Mass(f.grams)*measure.Gram, int64(f.cost), exampleCost
		spec.Name = fmt.Sprintf("%s %d × %d mm", flatNames[kind], f.w, f.h)
		if f.format != "" {
			spec.Name = fmt.Sprintf("%s %s, %d × %d mm inside", flatNames[kind], f.format, f.w, f.h)
		}
		out = append(out, studio.ShelfItem{Spec: spec, ReorderAt: reorder, Pack: pack})
	}
	for _, f := range []metricPiece{
		{w: 110, h: 153, grams: 3, cost: 6},
		{w: 135, h: 185, grams: 4, cost: 7},
		{w: 153, h: 215, grams: 5, cost: 8},
		{w: 185, h: 245, grams: 6, cost: 9},
		{w: 205, h: 305, grams: 8, cost: 10},
		{w: 215, h: 302, grams: 8, cost: 10},
		{w: 245, h: 305, grams: 9, cost: 12},
		{w: 302, h: 425, grams: 16, cost: 19},
		{w: 305, h: 405, grams: 15, cost: 18},
		{w: 405, h: 505, grams: 25, cost: 29},
		{w: 425, h: 600, grams: 31, cost: 36},
		{w: 505, h: 705, grams: 43, cost: 48},
	} {
		add(packing.Sleeve, f, packing.Item{Wall: measure.Millimetre / 25}, 10, 100)
	}
	for _, f := range []metricPiece{{w: 500, h: 750, grams: 8, cost: 5}, {w: 750, h: 1000, grams: 16, cost: 10}} {
		add(packing.Tissue, f, packing.Item{Caliper: measure.Millimetre / 20}, 20, 100)
	}
	for _, f := range []metricPiece{
		{w: 170, h: 230, grams: 22, cost: 18},
		{w: 230, h: 320, grams: 41, cost: 26},
		{w: 260, h: 320, grams: 46, cost: 29},
		{w: 320, h: 440, grams: 77, cost: 40},
		{w: 420, h: 520, grams: 120, cost: 60},
		{w: 440, h: 615, grams: 148, cost: 74},
		{w: 520, h: 720, grams: 205, cost: 98},
	} {
		add(packing.Board, f, packing.Item{Caliper: 3 * measure.Millimetre, Stiff: true}, 10, 25)
	}
	for _, f := range []metricPiece{
		{160, 227, 34, 21, "C5"},
		{174, 248, 40, 24, "B5"},
		{227, 322, 67, 34, "C4"},
		{248, 351, 80, 40, "B4"},
		{278, 398, 101, 48, "E4"},
		{322, 456, 134, 60, "C3"},
		{360, 500, 164, 72, ""},
		{430, 530, 207, 90, ""},
		{450, 600, 246, 104, ""},
	} {
		add(packing.Envelope, f, packing.Item{Wall: measure.Millimetre * 6 / 10, Thickest: 12 * measure.Millimetre, Stiff: true}, 5, 25)
	}
	return append(out, metricBoxes()...)
}

// metricBoxes are tubes, and cartons that are cut down.
func metricBoxes() []studio.ShelfItem {
	var out []studio.ShelfItem
	add := func(spec packing.Item, grams, cost int) {
		spec.Note, spec.Mass, spec.Cost = exampleCost, measure.Mass(grams)*measure.Gram, int64(cost)
		out = append(out, studio.ShelfItem{Spec: spec, ReorderAt: 3, Pack: 25})
	}
	for _, b := range []struct{ length, diameter, grams, cost int }{{430, 80, 140, 140}, {530, 100, 210, 185}, {630, 100, 250, 210}, {750, 100, 295, 240}, {1050, 120, 480, 330}} {
		add(packing.Item{
			ID: fmt.Sprintf("tube-%dx%d", b.length, b.diameter), Kind: packing.Tube, Name: fmt.Sprintf("tube %d mm long, %d mm inside", b.length, b.diameter),
			Length: millimetres(b.length), Diameter: millimetres(b.diameter), Wall: 2 * measure.Millimetre,
		}, b.grams, b.cost)
	}
	for _, b := range []struct{ length, width, grams, cost int }{{330, 240, 150, 120}, {340, 270, 165, 130}, {450, 330, 230, 170}, {530, 430, 330, 240}, {630, 450, 390, 280}, {740, 540, 520, 360}} {
		add(packing.Item{
			ID: fmt.Sprintf("carton-%dx%dx100", b.length, b.width), Kind: packing.Carton, Name: fmt.Sprintf("carton %d × %d × 100 mm", b.length, b.width),
			Length: millimetres(b.length), Width: millimetres(b.width), Height: millimetres(100), Wall: 3 * measure.Millimetre,
			Cut: &packing.Cut{Shortest: 10 * measure.Millimetre, Step: 5 * measure.Millimetre},
		}, b.grams, b.cost)
	}
	return out
}

func millimetres(n int) measure.Length { return measure.Length(n) * measure.Millimetre }
