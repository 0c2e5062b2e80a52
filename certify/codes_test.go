package certify_test

import (
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"solander/certify"
	"solander/internal/qrcode"
	"solander/internal/testpdf"
	paper "solander/papers/certificate"
)

// soiled is a scan that lies askew by three degrees, in which the ink of a streak, five per cent of the height of the code that fills the box,
// was drawn over the paper beside it.
func soiled(img image.Image, box image.Rectangle) image.Image {
	b := img.Bounds()
	grey := image.NewGray(b)
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			grey.Set(x, y, img.At(x, y))
		}
	}
	high := box.Dy() / 20
	for y := box.Min.Y + box.Dy()/2; y < box.Min.Y+box.Dy()/2+high; y++ {
		carried := 255.0
		for x := box.Min.X; x < box.Max.X; x++ {
			carried = min(carried+25, float64(grey.GrayAt(x, y).Y))
			grey.SetGray(x, y, color.Gray{uint8(carried)})
		}
	}
	out := image.NewGray(b)
	sin, cos := math.Sincos(3 * math.Pi / 180)
	mx, my := float64(b.Dx())/2, float64(b.Dy())/2
	for y := range b.Dy() {
		for x := range b.Dx() {
			fx, fy := cos*(float64(x)-mx)+sin*(float64(y)-my)+mx, -sin*(float64(x)-mx)+cos*(float64(y)-my)+my
			out.SetGray(x, y, color.Gray{between(grey, fx, fy)})
		}
	}
	return out
}

// between is the grey between four dots.
func between(g *image.Gray, x, y float64) uint8 {
	at := func(x, y int) float64 {
		if !(image.Point{X: x, Y: y}.In(g.Bounds())) {
			return 255
		}
		return float64(g.GrayAt(x, y).Y)
	}
	ix, iy := int(math.Floor(x)), int(math.Floor(y))
	dx, dy := x-float64(ix), y-float64(iy)
	return uint8((at(ix, iy)*(1-dx)+at(ix+1, iy)*dx)*(1-dy) + (at(ix, iy+1)*(1-dx)+at(ix+1, iy+1)*dx)*dy)
}

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
	for _, program := range []string{"zbarimg", "ZXingReader"} {
		if _, err := exec.LookPath(program); err != nil {
			t.Fatalf("%s reads the codes and is not installed: scripts/install-test-tools.sh", program)
		}
	}
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
				for how, scan := range map[string]image.Image{"clean": img, "soiled": soiled(img, codeBox(t, format, page, dpi, codes[len(codes)-1]))} {
					reads(t, fmt.Sprintf("%s, page %d, %d dpi, %s", format, page, dpi, how), scan, codes)
				}
			}
		}
	}
}

func reads(t *testing.T, what string, scan image.Image, codes []string) {
	t.Helper()
	file := filepath.Join(t.TempDir(), "scan.png")
	f, err := os.Create(file)
	if err != nil {
		t.Fatal(err)
	}
	if err := png.Encode(f, scan); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	for program, args := range map[string][]string{"zbarimg": {"--raw", "-q", file}, "ZXingReader": {file}} {
		out, err := exec.CommandContext(t.Context(), program, args...).CombinedOutput()
		for _, code := range codes {
			if !strings.Contains(string(out), code) {
				t.Errorf("%s: %s does not read %.20s… (%v): %.300s", what, program, code, err, out)
			}
		}
	}
}
