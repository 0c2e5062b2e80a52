// Package qrcode says which modules of a QR code (ISO/IEC 18004) are dark.
package qrcode

import (
	"github.com/boombuler/barcode/qr"
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
