package tariff

import (
	"math/bits"
	"slices"

	"solander/measure"
)

// Size is the outer size of a parcel, sides sorted longest first. Of a cylinder it is the size of the
// smallest box round it: Width and Height are the diameter, or Length and Width when the diameter exceeds
// the axis.
type Size struct {
	Length measure.Length `json:"length"`
	Width  measure.Length `json:"width"`
	Height measure.Length `json:"height"`
}

// SizeOf sorts three sides.
func SizeOf(a, b, c measure.Length) Size {
	s := []measure.Length{a, b, c}
	slices.Sort(s)
	return Size{s[2], s[1], s[0]}
}

// Measure is something that a limit or a condition looks at.
type Measure string

// The measures. Lengths are in nm, the volume in µm³, the mass in ng, the value in minor units.
const (
	Length             Measure = "length" // longest side
	Width              Measure = "width"  // middle side
	Height             Measure = "height" // shortest side: the thickness of a flat
	Girth              Measure = "girth"
	LengthGirth        Measure = "length+girth"
	LengthWidthHeight  Measure = "length+width+height"
	LengthTwoDiameters Measure = "length+2diameter" // of a box: length + 2 width
	VolumeOf           Measure = "volume"           // of the box round the parcel
	MassOf             Measure = "mass"             // actual mass
	ValueOf            Measure = "value"
)

// Measures returns every measure, in a fixed order.
func Measures() []Measure {
	return []Measure{Length, Width, Height, Girth, LengthGirth, LengthWidthHeight, LengthTwoDiameters, VolumeOf, MassOf, ValueOf}
}

// Unit returns the unit of a measure's numbers, "" for an unknown measure; the unit of a value is
// "money".
func (m Measure) Unit() string {
	switch m {
	case Length, Width, Height, Girth, LengthGirth, LengthWidthHeight, LengthTwoDiameters:
		return "nm"
	case VolumeOf:
		return "um3"
	case MassOf:
		return "ng"
	case ValueOf:
		return "money"
	}
	return ""
}

// Girth is the way round the thickest part across the length: of a box 2 · (width + height), of a
// cylinder π · diameter, rounded up with π taken as 3.141593 (too large, the safe side).
// Source: price list of the US Postal Service of 2025-10-05 (Notice 123), page 35.
func (s Size) Girth(f Form) measure.Length {
	if f == Cylinder && s.Width == s.Height {
		hi, lo := bits.Mul64(uint64(s.Width), 3_141_593)
		q, r := bits.Div64(hi, lo, 1_000_000)
		if r > 0 {
			q++
		}
		return measure.Length(q)
	}
	return 2 * (s.Width + s.Height)
}

// Volume is the volume of the box round the parcel, rounded up to whole µm³.
func (s Size) Volume() Volume {
	p := product(s.Length, s.Width, s.Height)
	if p.hi >= 1_000_000_000 {
		return Volume(1<<63 - 1)
	}
	q, r := bits.Div64(p.hi, p.lo, 1_000_000_000)
	if r > 0 {
		q++
	}
	return Volume(min(q, 1<<63-1))
}
