// Package sheet knows the physics of flat sheets: how large, thick and heavy a stack of them is, and how
// wide a roll.
//
// Lengths are nanometres, masses nanograms. Every derived number that is not whole is rounded to the safe
// side: a roll is never thicker, a stack never heavier than stated. Source of the formulas:
// docs/formats/physics.md. The room knows no packaging, no prices and no editions.
package sheet

import "solander/measure"

// Sheet is one flat piece: a print, or a print in its film sleeve. Sides may be given in any order.
type Sheet struct {
	Width, Height measure.Length
	Thickness     measure.Length
	Mass          measure.Mass
}

// Long returns the longer side.
func (s Sheet) Long() measure.Length { return max(s.Width, s.Height) }

// Short returns the shorter side.
func (s Sheet) Short() measure.Length { return min(s.Width, s.Height) }

// Stack is sheets lying flat on one another, long side on long side.
type Stack struct {
	Long, Short measure.Length // footprint
	Thickness   measure.Length
	Mass        measure.Mass
	Sheets      int
}

// Add returns the stack with n more copies of s on it: the footprint is the longest long side by the
// longest short side, thickness and mass are sums.
func (k Stack) Add(s Sheet, n int) Stack {
	if n <= 0 {
		return k
	}
	return Stack{
		Long:      max(k.Long, s.Long()),
		Short:     max(k.Short, s.Short()),
		Thickness: k.Thickness + measure.Length(n)*s.Thickness,
		Mass:      k.Mass + measure.Mass(n)*s.Mass,
		Sheets:    k.Sheets + n,
	}
}
