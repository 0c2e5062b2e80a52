package certify_test

import (
	"fmt"
	"image"
	"testing"

	"solander/certify"
	"solander/internal/qrcode"
	"solander/internal/testpdf"
	paper "solander/papers/certificate"
)

// codeBox is where a code of so many modules stands on a page of US letter or on a card, in dots.
func codeBox(t *testing.T, format paper.Format, page, dpi int, code string) image.Rectangle {
	t.Helper()
	modules, err := qrcode.Dense(code)
	if err != nil {
		t.Fatal(err)
	}
	side := float64(len(modules)) * paper.Module
	x, y := 612-60-side, 792-60-14-side
	switch {
	case format == paper.Card:
		x, y = 432-18-side+4*paper.Module, (288-side)/2
	case page == 2:
		x, y = 60-4*paper.Module, 792-60-side
	}
	dots := func(points float64) int { return int(points / 72 * float64(dpi)) }
	return image.Rect(dots(x), dots(y), dots(x+side), dots(y+side))
}

// Two independent readers read both codes from scans at the resolution of label printers and of office printers, soiled and askew.
func TestCodesAreReadByOthers(t *testing.T) {
	t.Parallel()
	b := signedTwo(t)
	made(b, 1)
	all, err := certify.Papers(b.Ctx, b.Studio, []int64{1})
	b.Must(err)
	for _, format := range paper.Formats() {
		pdf, err := paper.Draw(format, all)
		b.Must(err)
		want := map[int][]string{1: {all[0].Small}, 2: {all[0].Large}}
		if format == paper.Card {
			want = map[int][]string{2: {all[0].Small, all[0].Large}}
		}
		for page, codes := range want {
			for _, dpi := range []int{203, 300} {
				img := testpdf.Image(t, pdf, page, dpi)
				for how, scan := range map[string]image.Image{"clean": img, "soiled": testpdf.Soiled(img, codeBox(t, format, page, dpi, codes[len(codes)-1]))} {
					testpdf.ReadByOthers(t, fmt.Sprintf("%s, page %d, %d dpi, %s", format, page, dpi, how), scan, codes)
				}
			}
		}
	}
}
