package pdf

import (
	"solander/letters"
	"solander/papers/pdf/leaf"
)

// font is a style of the type at a size in points.
type font = leaf.Type

// The manners, as on the screen: roman for what is named, italic for heads and for what is said beside, bold for what must
// not be overlooked.
var (
	roman  = font{Style: letters.Roman, Size: 11}
	italic = font{Style: letters.Italic, Size: 10.5}
	small  = font{Style: letters.Roman, Size: 8.8}
	bold   = font{Style: letters.Bold, Size: 8.8}
)

// colour is red, green, blue.
type colour = leaf.Colour

// Ink on paper and one accent, verdigris, as on the screen. All stay apart in black and white, and none means anything
// alone.
var (
	ink    = colour{25, 28, 27}
	soft   = colour{86, 92, 89}
	accent = colour{10, 90, 79}
	hair   = colour{185, 190, 184}
	black  = colour{0, 0, 0}
	white  = colour{255, 255, 255}
)
