package sheet

import "solander/measure"

// Named is a standard sheet size, shorter side first.
type Named struct {
	Name          string
	Width, Height measure.Length
	Source        string
}

const (
	iso  = "ISO 216"
	asme = "ASME Y14.1"
	arch = "architectural sizes, as drawing-paper makers list them"
	mem  = "architectural sizes, from memory"
)

// Sizes returns the standard sizes that the program knows, in a fixed order.
func Sizes() []Named {
	mm, in := measure.Millimetre, measure.Inch
	return []Named{
		{"A0", 841 * mm, 1189 * mm, iso},
		{"A1", 594 * mm, 841 * mm, iso},
		{"A2", 420 * mm, 594 * mm, iso},
		{"A3", 297 * mm, 420 * mm, iso},
		{"A4", 210 * mm, 297 * mm, iso},
		{"A5", 148 * mm, 210 * mm, iso},
		{"A6", 105 * mm, 148 * mm, iso},
		{"B0", 1000 * mm, 1414 * mm, iso},
		{"B1", 707 * mm, 1000 * mm, iso},
		{"B2", 500 * mm, 707 * mm, iso},
		{"B3", 353 * mm, 500 * mm, iso},
		{"B4", 250 * mm, 353 * mm, iso},
		{"B5", 176 * mm, 250 * mm, iso},
		{"B6", 125 * mm, 176 * mm, iso},
		{"ANSI A", 17 * in / 2, 11 * in, asme},
		{"ANSI B", 11 * in, 17 * in, asme},
		{"ANSI C", 17 * in, 22 * in, asme},
		{"ANSI D", 22 * in, 34 * in, asme},
		{"ANSI E", 34 * in, 44 * in, asme},
		{"Arch A", 9 * in, 12 * in, mem},
		{"Arch B", 12 * in, 18 * in, arch},
		{"Arch C", 18 * in, 24 * in, mem},
		{"Arch D", 24 * in, 36 * in, arch},
		{"Arch E", 36 * in, 48 * in, mem},
		{"Arch E1", 30 * in, 42 * in, arch},
	}
}
