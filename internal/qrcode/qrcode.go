// Package qrcode says which modules of a QR code (ISO/IEC 18004) are dark.
package qrcode

import (
	"github.com/boombuler/barcode/qr"
	quick "rsc.io/qr"
)

// Quiet is how many modules stay light around a code (ISO/IEC 18004, from memory).
const Quiet = 4

// Modules returns the modules of a text by row, dark as true, with the quiet zone; at the level of correction M. It fails for a text
// that is too long.
func Modules(text string) ([][]bool, error) {
	code, err := qr.Encode(text, qr.M, qr.Auto)
	if err != nil {
		return nil, err
	}
	n := code.Bounds().Dx()
	out := make([][]bool, n+2*Quiet)
	for y := range out {
		out[y] = make([]bool, n+2*Quiet)
		for x := Quiet; y >= Quiet && y < Quiet+n && x < Quiet+n; x++ {
			r, _, _, _ := code.At(x-Quiet, y-Quiet).RGBA()
			out[y][x] = r == 0
		}
	}
	return out, nil
}

// Dense is Modules for texts that look like chance, such as signatures: no mask is better than another one then, so none is looked for, which
// is where most of the time goes.
func Dense(text string) ([][]bool, error) {
	code, err := quick.Encode(text, quick.M)
	if err != nil {
		return nil, err
	}
	out := make([][]bool, code.Size+2*Quiet)
	for y := range out {
		out[y] = make([]bool, len(out))
		for x := range out {
			out[y][x] = code.Black(x-Quiet, y-Quiet)
		}
	}
	return out, nil
}
