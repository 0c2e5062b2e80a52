// Package cutting knows how boards are cut from big sheets with a knife that goes from edge to edge: the most
// valuable pieces of one sheet, and the fewest sheets for a list of boards, as a tree of cuts in the order
// in which they are made.
//
// Lengths are nanometres, or any other whole unit as long as it is one. A cut divides a panel into two and
// takes away its kerf, or all that is left beyond it when that is less. Every answer is exact and the same
// for the same input; where the time ends first, the answer says that it is not proven and keeps a bound.
// Verify looks at a plan again and shares nothing with what made it.
//
// Whoever cuts minds the usual caution with knives: a metal straight edge, fingers behind it, several light
// strokes, and the rules for the tool at hand.
package cutting

import (
	"solander/fault"
	"solander/measure"
)

// Sheet is the size of one big sheet.
type Sheet struct{ Width, Height measure.Length }

// Kind is pieces of one size and what each is worth. Max is the most that are taken; 0 is any number. With
// Turn a piece may be cut either way round.
type Kind struct {
	Width, Height measure.Length
	Max           int
	Value         int64
	Turn          bool
}

// Piece is boards of one size, of which Count are needed.
type Piece struct {
	ID            string
	Width, Height measure.Length
	Count         int
	Turn          bool
}

// Stock is sheets of one size. Count is how many there are; 0 is any number. Cost is the price of one.
type Stock struct {
	ID            string
	Width, Height measure.Length
	Count         int
	Cost          int64
}

// Panel is a rectangle on a sheet: cut further, or a piece, or waste. Piece is the index of what was asked,
// or -1.
type Panel struct {
	X, Y, Width, Height measure.Length
	Cut                 *Cut
	Piece               int
}

// Cut divides a panel. Step counts the cuts of a sheet from 1 in the order in which they are made. A cut
// upright runs from bottom to top at X = At and divides the width; the other runs from left to right at
// Y = At. Parts are before and beyond the cut; beyond it there may be nothing.
type Cut struct {
	Step    int
	Upright bool
	At      measure.Length
	Parts   []Panel
}

// Choice is the best cutting of one sheet found. None is worth more than Bound; Proven says that none is
// worth more than this one.
type Choice struct {
	Value, Bound int64
	Panel        Panel
	Proven       bool
}

// Cutting is one sheet of a plan: Stock is the index of its kind.
type Cutting struct {
	Stock int
	Panel Panel
}

// CutPlan is the sheets to cut. Fewer than Bound are surely not enough; Proven says that fewer than these are
// not. Least says that among plans with as many sheets none costs less, nor wastes less at that cost.
type CutPlan struct {
	Sheets        []Cutting
	Cost          int64
	Bound         int
	Proven, Least bool
}

const (
	longest      = measure.Length(1) << 40 // over 1 km
	highestValue = int64(1) << 40
	mostCopies   = 1 << 16
)

func valid(field string, i int, w, h measure.Length) error {
	if w <= 0 || h <= 0 || w > longest || h > longest {
		return fault.Invalidf(field, "number %d is %d × %d nm, not from 1 to %d nm", i+1, w, h, longest)
	}
	return nil
}

func validKerf(kerf measure.Length) error {
	if kerf < 0 || kerf > longest {
		return fault.Invalidf("kerf", "a kerf of %d nm is not from 0 to %d nm", kerf, longest)
	}
	return nil
}

func validKinds(sheet Sheet, kinds []Kind, kerf measure.Length) error {
	if err := valid("sheet", 0, sheet.Width, sheet.Height); err != nil {
		return err
	}
	for i, k := range kinds {
		if err := valid("kinds", i, k.Width, k.Height); err != nil {
			return err
		}
		if k.Max < 0 || k.Max > mostCopies || k.Value < 0 || k.Value > highestValue {
			return fault.Invalidf("kinds", "kind %d: at most %d of value %d: neither may be negative or over 2^16 and 2^40", i+1, k.Max, k.Value)
		}
	}
	return validKerf(kerf)
}
