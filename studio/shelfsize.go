package studio

import (
	"fmt"

	"solander/fault"
	"solander/measure"
	"solander/packing"
)

// maxPiece bounds the weight of one piece of packaging; maxInner its inner sides.
const (
	maxPiece = 50 * measure.Kilogram
	maxInner = 5 * measure.Metre
)

// validateSize looks at the sizes that a kind of packaging must have: two sides of a flat one, length
// and diameter of a tube, three sides of a carton.
func (i ShelfItem) validateSize() error {
	var l fault.List
	side := func(field string, v measure.Length) {
		l.Check(v >= measure.Millimetre && v <= maxInner, "spec."+field, fmt.Sprintf("the %s is missing or absurd", field), "give the inner size with its unit")
	}
	switch i.Spec.Kind {
	case packing.Tube:
		side("length", i.Spec.Length)
		side("diameter", i.Spec.Diameter)
	case packing.Carton:
		side("length", i.Spec.Length)
		side("width", i.Spec.Width)
		side("height", i.Spec.Height)
	default:
		side("width", i.Spec.Width)
		side("height", i.Spec.Height)
	}
	if k := i.Spec.Kind; k == packing.Board || k == packing.Tissue {
		l.Check(i.Spec.Caliper > 0 && i.Spec.Caliper <= 10*measure.Centimetre, "spec.caliper", "the thickness is missing or absurd", "give the thickness of one piece")
	}
	l.Check(i.Spec.Wall >= 0 && i.Spec.Wall <= 10*measure.Centimetre, "spec.wall", "the wall is negative or absurd", "give the thickness of one wall, film or face")
	l.Check(i.Spec.Thickest >= 0 && i.Spec.Thickest <= measure.Metre, "spec.thickest", "the thickest contents are negative or absurd", "leave it empty when it is not limited")
	if c := i.Spec.Cut; c != nil {
		whole := i.Spec.Height
		if i.Spec.Kind == packing.Tube {
			whole = i.Spec.Length
		}
		l.Check(i.Spec.Kind == packing.Tube || i.Spec.Kind == packing.Carton, "spec.cut", "only tubes and cartons are cut down", "leave the cut out")
		l.Check(c.Shortest > 0 && c.Shortest < whole, "spec.cut.shortest", "the shortest cut is nothing, or not shorter than the whole", "give the least inner size it may have")
		l.Check(c.Step > 0, "spec.cut.step", "the step of the cut is missing", "say how exactly it can be cut, such as 1/2 in")
	}
	return l.Err()
}
