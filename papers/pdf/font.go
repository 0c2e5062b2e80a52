package pdf

// font is a face at a size in points.
type font struct {
	family, style string
	size          float64
}

func (f font) at(size float64) font { f.size = size; return f }

// The faces: serif for what is named, sans for what is said of it, mono for numbers to be compared.
var (
	serif  = font{"serif", "", 11}
	italic = font{"serif", "I", 10}
	sans   = font{"sans", "", 8.5}
	bold   = font{"sans", "B", 8.5}
	mono   = font{"mono", "", 9}
)
