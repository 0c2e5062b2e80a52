package testpdf

import (
	"image"
	"image/color"
	"image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// Soiled is a scan that lies askew by three degrees, in which the ink of a streak, five per cent of the height of the code that fills the box,
// was drawn over the paper beside it.
func Soiled(img image.Image, box image.Rectangle) image.Image {
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

// ReadByOthers fails unless two independent programs, zbarimg and ZXingReader, read each code in a scan.
func ReadByOthers(t testing.TB, what string, scan image.Image, codes []string) {
	t.Helper()
	for _, program := range []string{"zbarimg", "ZXingReader"} {
		if _, err := exec.LookPath(program); err != nil {
			t.Fatalf("testpdf: %s reads the codes and is not installed: scripts/install-test-tools.sh", program)
		}
	}
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
