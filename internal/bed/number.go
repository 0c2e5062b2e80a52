package bed

import (
	"solander/edition"
)

func Num(n int) edition.Number { return edition.Number{Kind: edition.Numbered, N: n} }
