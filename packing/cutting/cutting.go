// Package cutting knows how boards are cut from big sheets with a knife that goes from edge to edge: the fewest
// sheets for a list of boards, each as a tree of cuts in the order in which they are made. What one sheet yields is
// known to onesheet.
//
// Lengths are nanometres, or any other whole unit as long as it is one. Every answer is exact and the same
// for the same input; where the time ends first, the answer says that it is not proven and keeps a bound.
// Verify looks at a plan again and shares nothing with what made it.
//
// Whoever cuts minds the usual caution with knives: a metal straight edge, fingers behind it, several light
// strokes, and the rules for the tool at hand.
package cutting

import (
	"solander/measure"
	"solander/packing/cutting/onesheet"
)

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

// Cutting is one sheet of a plan: Stock is the index of its kind.
type Cutting struct {
	Stock int
	Panel onesheet.Panel
}

// CutPlan is the sheets to cut. Fewer than Bound are surely not enough; Proven says that fewer than these are
// not. Least says that among plans with as many sheets none costs less, nor wastes less at that cost.
type CutPlan struct {
	Sheets        []Cutting
	Cost          int64
	Bound         int
	Proven, Least bool
}
