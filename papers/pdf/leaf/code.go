package leaf

import (
	"strings"

	"github.com/boombuler/barcode/code128"

	"solander/fault"
)

// Quiet is the free room that Code 128 wants on either side, in modules (ISO/IEC 15417, from memory).
const Quiet = 10

// Bars returns the modules of a text in Code 128, dark as true, without quiet zones.
// Faults: Invalid when the text is empty, longer than 80 characters or not ASCII.
func Bars(text string) ([]bool, error) {
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

// Code128 draws a text as Code 128 in a box of the width and height, quiet zones within it, with modules
// of at most widest points; beside is where in the box it stands when that is wider: 0 at its left, 1 at its right. It
// returns where the code begins and the width used.
func (p *Page) Code128(text string, x, y, width, height, widest, beside float64, c Colour) (from, used float64, err error) {
	modules, err := Bars(text)
	if err != nil {
		return 0, 0, err
	}
	module := min(widest, width/float64(len(modules)+2*Quiet))
	used = float64(len(modules)+2*Quiet) * module
	from = x + (width-used)*beside
	for i := 0; i < len(modules); {
		j := i
		for j < len(modules) && modules[j] == modules[i] {
			j++
		}
		if modules[i] {
			p.Rect(from+float64(Quiet+i)*module, y, float64(j-i)*module, height, c)
		}
		i = j
	}
	return from, used, nil
}

// Module is how wide a module of a QR code is drawn, in points: four dots at 203 dpi, a little more so that no rounding makes it less.
const Module = 4.005 / 203 * 72

// Modules draws the modules of a QR code, with their quiet zone, and returns how wide it is.
func (p *Page) Modules(modules [][]bool, x, y float64, c Colour) float64 {
	for r, row := range modules {
		for i := 0; i < len(row); {
			j := i
			for j < len(row) && row[j] == row[i] {
				j++
			}
			if row[i] {
				p.Rect(x+float64(i)*Module, y+float64(r)*Module, float64(j-i)*Module, Module, c)
			}
			i = j
		}
	}
	return float64(len(modules)) * Module
}
