package testpdf_test

import (
	"bytes"
	"image/png"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/boombuler/barcode"
	"github.com/boombuler/barcode/code128"
	"github.com/boombuler/barcode/qr"

	"solander/internal/testpdf"
	"solander/papers/pdf/leaf"
)

const inch = 72.0 // points

var black leaf.Colour

// sample draws two Letter pages: words on both, three Code 128 and two QR codes on the second.
func sample(t *testing.T) []byte {
	t.Helper()
	f := leaf.New(leaf.About{})
	f.Page(8.5*inch, 11*inch).Text(inch, inch, "heron 17/250", leaf.Type{Size: 12}, black)
	p := f.Page(8.5*inch, 11*inch)
	p.Text(inch, inch, "otter 3/50", leaf.Type{Size: 12}, black)
	for _, c := range []struct {
		text string
		x, y float64
	}{{"ORDER-0017", 1, 2}, {"ORDER-0018", 4.5, 2}, {"123456", 1, 4}} {
		code, err := code128.Encode(c.text)
		if err != nil {
			t.Fatal(err)
		}
		draw(p, code, c.x, c.y, 0.013, 0.6)
	}
	for i, text := range []string{"solander:edition:heron:17", "solander:edition:otter:3"} {
		code, err := qr.Encode(text, qr.M, qr.Auto)
		if err != nil {
			t.Fatal(err)
		}
		draw(p, code, 1+3*float64(i), 6, 0.04, 0.04)
	}
	b, err := f.Bytes()
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// draw sets each dark module of a code as a rectangle; lengths are in inches.
func draw(p *leaf.Page, code barcode.Barcode, left, top, width, height float64) {
	bounds := code.Bounds()
	for y := range bounds.Dy() {
		for x := range bounds.Dx() {
			if r, _, _, _ := code.At(x, y).RGBA(); r == 0 {
				p.Rect((left+width*float64(x))*inch, (top+height*float64(y))*inch, width*inch, height*inch, black)
			}
		}
	}
}

func TestTextOfEachPage(t *testing.T) {
	pages := testpdf.Pages(t, sample(t))
	if len(pages) != 2 || strings.TrimSpace(pages[0]) != "heron 17/250" || !strings.Contains(pages[1], "otter 3/50") {
		t.Errorf("the pages say %q", pages)
	}
}

func TestCodesReadBack(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	pdf := sample(t)
	img := testpdf.Image(t, pdf, 2, 200)
	if b := img.Bounds(); b.Dx() != 1700 || b.Dy() != 2200 {
		t.Errorf("a Letter page at 200 dots per inch is %d × %d", b.Dx(), b.Dy())
	}
	if got, want := testpdf.ReadCode128(t, img), []string{"ORDER-0017", "ORDER-0018", "123456"}; !slices.Equal(got, want) {
		t.Errorf("Code 128: got %q, want %q", got, want)
	}
	got := testpdf.ReadQR(t, img)
	slices.Sort(got)
	if want := []string{"solander:edition:heron:17", "solander:edition:otter:3"}; !slices.Equal(got, want) {
		t.Errorf("QR: got %q, want %q", got, want)
	}
	bare := testpdf.Image(t, pdf, 1, 200)
	if a, b := testpdf.ReadCode128(t, bare), testpdf.ReadQR(t, bare); len(a)+len(b) != 0 {
		t.Errorf("a page without codes reads %q and %q", a, b)
	}
}

func TestShot(t *testing.T) {
	file := filepath.Join(t.TempDir(), "deep", "page.png")
	testpdf.Shot(t, sample(t), 1, 50, file)
	b, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if c, err := png.DecodeConfig(bytes.NewReader(b)); err != nil || c.Width != 425 || c.Height != 550 {
		t.Errorf("the picture is %d × %d, %v", c.Width, c.Height, err)
	}
}
