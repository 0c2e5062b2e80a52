// Package onesheet knows what is cut from one sheet with a knife that goes from edge to edge: the most valuable pieces,
// and all sets of pieces, as a tree of cuts in the order in which they are made.
//
// Lengths are nanometres, or any other whole unit as long as it is one. A cut divides a panel into two and takes away
// its kerf, or all that is left beyond it when that is less. Every answer is exact and the same for the same input;
// where the time ends first, the answer says that it is not proven and keeps a bound.
package onesheet

import (
	"solander/fault"
	"solander/measure"
)

// Sheet is the size of one big sheet.
type Sheet struct{ Width, Height measure.Length }

// reckoned is a sheet one kerf larger: see Joint.
func (s Sheet) reckoned(kerf int64) (w, h int64) {
	return int64(s.Width) + kerf, int64(s.Height) + kerf
}

// Kind is pieces of one size and what each is worth. Max is the most that are taken; 0 is any number. With
// Turn a piece may be cut either way round.
type Kind struct {
	Width, Height measure.Length
	Max           int
	Value         int64
	Turn          bool
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

// HighestValue is the most that a piece may be worth, or a sheet cost.
const HighestValue = int64(1) << 40

const (
	longest    = measure.Length(1) << 40 // over 1 km
	mostCopies = 1 << 16
)

// ValidSize looks at the sides of what stands in a list. Faults: Invalid.
func ValidSize(field string, i int, w, h measure.Length) error {
	if w <= 0 || h <= 0 || w > longest || h > longest {
		return fault.Invalidf(field, "number %d is %d × %d nm, not from 1 to %d nm", i+1, w, h, longest)
	}
	return nil
}

// ValidKerf looks at a kerf. Faults: Invalid.
func ValidKerf(kerf measure.Length) error {
	if kerf < 0 || kerf > longest {
		return fault.Invalidf("kerf", "a kerf of %d nm is not from 0 to %d nm", kerf, longest)
	}
	return nil
}

func validKinds(sheet Sheet, kinds []Kind, kerf measure.Length) error {
	if err := ValidSize("sheet", 0, sheet.Width, sheet.Height); err != nil {
		return err
	}
	for i, k := range kinds {
		if err := ValidSize("kinds", i, k.Width, k.Height); err != nil {
			return err
		}
		if k.Max < 0 || k.Max > mostCopies || k.Value < 0 || k.Value > HighestValue {
			return fault.Invalidf("kinds", "kind %d: at most %d of value %d: neither may be negative or over 2^16 and 2^40", i+1, k.Max, k.Value)
		}
	}
	return ValidKerf(kerf)
}
