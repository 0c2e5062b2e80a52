package bed

import (
	"solander/measure"
)

const Inch = measure.Inch
