package testpdf

import (
	"image"
	"testing"

	"github.com/makiuchi-d/gozxing"
	multiqr "github.com/makiuchi-d/gozxing/multi/qrcode"
	"github.com/makiuchi-d/gozxing/oned"
)

// ReadCode128 returns what each upright Code 128 of a picture says, from top to bottom and left to right;
// one that is read twice in a row of scans counts once. None is an empty list.
func ReadCode128(t testing.TB, img image.Image) []string {
	t.Helper()
	// A scan is a thin band: a code is some tens of bands high, so none is missed and two that stand one
	// below the other are told apart.
	const band = 10
	bitmap := black(t, img)
	var found []string
	seen := map[string]int{} // text → the lowest band that read it
	for top := 0; top+band <= bitmap.GetHeight(); top += band {
		for _, text := range acrossBand(bitmap, 0, top, bitmap.GetWidth(), band) {
			last, known := seen[text]
			if !known || top-last > 5*band {
				found = append(found, text)
			}
			seen[text] = top
		}
	}
	return found
}

// acrossBand reads a code in a band, then what stands left and right of it.
func acrossBand(bitmap *gozxing.BinaryBitmap, left, top, width, height int) []string {
	const narrowest = 60 // dots: no Code 128 with its quiet zones is narrower
	if width < narrowest {
		return nil
	}
	part, err := bitmap.Crop(left, top, width, height)
	if err != nil {
		return nil
	}
	result, err := oned.NewCode128Reader().Decode(part, nil)
	if err != nil {
		return nil
	}
	points := result.GetResultPoints()
	from, to := int(points[0].GetX()), int(points[len(points)-1].GetX())
	texts := acrossBand(bitmap, left, top, from, height)
	texts = append(texts, result.GetText())
	return append(texts, acrossBand(bitmap, left+to, top, width-to, height)...)
}

// ReadQR returns what each QR code of a picture says, in no certain order. None is an empty list.
func ReadQR(t testing.TB, img image.Image) []string {
	t.Helper()
	results, err := multiqr.NewQRCodeMultiReader().DecodeMultiple(black(t, img), map[gozxing.DecodeHintType]any{
		gozxing.DecodeHintType_TRY_HARDER: true,
	})
	if err != nil {
		return nil
	}
	var found []string
	for _, r := range results {
		found = append(found, r.GetText())
	}
	return found
}

// FindQR returns where in a picture the QR code of a text stands, with its quiet zone; quiet is how many modules that is wide, modules how many there are
// with it.
func FindQR(t testing.TB, img image.Image, text string, modules, quiet int) image.Rectangle {
	t.Helper()
	results, err := multiqr.NewQRCodeMultiReader().DecodeMultiple(black(t, img), map[gozxing.DecodeHintType]any{
		gozxing.DecodeHintType_TRY_HARDER: true,
	})
	if err != nil {
		t.Fatalf("testpdf: no code is found: %v", err)
	}
	for _, r := range results {
		if r.GetText() != text {
			continue
		}
		var box image.Rectangle
		for _, p := range r.GetResultPoints()[:3] { // the middles of its corners, three and a half modules from its edge (ISO/IEC 18004, from memory)
			box = box.Union(image.Rect(int(p.GetX()), int(p.GetY()), int(p.GetX())+1, int(p.GetY())+1))
		}
		module := float64(box.Dx()) / float64(modules-2*quiet-7)
		return box.Inset(-int(module * (3.5 + float64(quiet))))
	}
	t.Fatalf("testpdf: no code says %.40q", text)
	return image.Rectangle{}
}

func black(t testing.TB, img image.Image) *gozxing.BinaryBitmap {
	t.Helper()
	bitmap, err := gozxing.NewBinaryBitmapFromImage(img)
	if err != nil {
		t.Fatalf("testpdf: %v", err)
	}
	return bitmap
}
