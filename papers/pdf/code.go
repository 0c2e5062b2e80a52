package pdf

import (
	"strings"

	"github.com/boombuler/barcode/code128"

	"solander/fault"
)

// quiet is the free room that Code 128 wants on either side, in modules (ISO/IEC 15417, from memory).
const quiet = 10

// bars returns the modules of a text in Code 128, dark as true, without quiet zones.
// Faults: Invalid when the text is empty, longer than 80 characters or not ASCII.
func bars(text string) ([]bool, error) {
	bad := func() error {
		return fault.Invalidf("mark", "%.40q cannot be written as a bar code", text).ToMend("use 1 to 80 plain letters, digits and signs")
	}
	if text == "" || strings.ContainsFunc(text, func(r rune) bool { return r < ' ' || r > '~' }) {
		return nil, bad()
	}
	code, err := code128.Encode(text)
	if err != nil {
		return nil, bad()
	}
	out := make([]bool, code.Bounds().Dx())
	for x := range out {
		r, _, _, _ := code.At(x, 0).RGBA()
		out[x] = r == 0
	}
	return out, nil
}

// codeOf is what a bar code says: the parcel's name, or the order's mark when none is given.
func codeOf(code, mark string) string {
	if code == "" {
		return mark
	}
	return code
}

// code128 draws a text as Code 128 in a box of the width and height, quiet zones within it, with modules
// of at most widest points; beside is where in the box it stands when that is wider: 0 at its left, 1 at its right. It
// returns where the code begins and the width used.
func (p *page) code128(text string, x, y, width, height, widest, beside float64) (from, used float64, err error) {
	modules, err := bars(text)
	if err != nil {
		return 0, 0, err
	}
	module := min(widest, width/float64(len(modules)+2*quiet))
	used = float64(len(modules)+2*quiet) * module
	from = x + (width-used)*beside
	for i := 0; i < len(modules); {
		j := i
		for j < len(modules) && modules[j] == modules[i] {
			j++
		}
		if modules[i] {
			p.on.Rect(from+float64(quiet+i)*module, y, float64(j-i)*module, height, black)
		}
		i = j
	}
	return from, used, nil
}
