//go:build pictures

package web

import (
	"bytes"
	"image"
	"image/color"
	paint "image/draw"
	"image/png"
	"net/http/httptest"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"solander/internal/browsertest"
)

// pictures are the pages shown, with how much of their height.
var pictures = []struct {
	file, path string
	from       string // the element whose top edge is the picture's; "" = the top of the page
	height     int    // in pixels; the page may be shorter
}{
	{"bench.png", "/", "", 1018},
	{"order.png", "/orders/S-1589", "", 900},
	{"plan.png", "/orders/S-1589", "#plan", 1056},
	{"edition.png", "/editions/2", "", 1000},
	{"drawer.png", "/drawer", "", 700},
}

// TestPictures makes the pictures of docs anew; "make pictures" runs it, and SOLANDER_PICTURES names
// another folder. It is no part of the tests.
func TestPictures(t *testing.T) {
	t.Parallel()
	folder := os.Getenv("SOLANDER_PICTURES")
	if folder == "" {
		folder = filepath.Join(browsertest.Root(t), "docs")
	}
	server := httptest.NewServer(New(pictured(t), Options{}))
	defer server.Close()
	p := browsertest.Open(t)
	for _, pic := range pictures {
		p.Go(server.URL + pic.path)
		top := 0
		if pic.from != "" {
			top = browsertest.Eval[int](p, `Math.max(0, Math.floor(document.querySelector("`+pic.from+`").getBoundingClientRect().top + scrollY) - 16)`)
		}
		whole := filepath.Join(t.TempDir(), pic.file)
		p.Shot(whole)
		trim(t, whole, filepath.Join(folder, pic.file), top, pic.height)
	}
}

// trim cuts a strip of a picture and keeps it small: few colours, well packed.
func trim(t *testing.T, from, to string, top, height int) {
	t.Helper()
	raw, err := os.ReadFile(from)
	if err != nil {
		t.Fatal(err)
	}
	whole, err := png.Decode(bytes.NewReader(raw))
	if err != nil {
		t.Fatal(err)
	}
	b := whole.Bounds()
	strip := image.Rect(0, top, b.Dx(), min(top+height, b.Dy()))
	small := image.NewPaletted(image.Rect(0, 0, strip.Dx(), strip.Dy()), inks(whole, strip))
	paint.Draw(small, small.Bounds(), whole, strip.Min, paint.Src)
	var out bytes.Buffer
	if err := (&png.Encoder{CompressionLevel: png.BestCompression}).Encode(&out, small); err != nil {
		t.Fatal(err)
	}
	if out.Len() > 250_000 {
		t.Errorf("%s has %d bytes: show less of the page", to, out.Len())
	}
	if err := os.WriteFile(to, out.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
}

// inks are the 256 colours of a strip that cover most of it.
func inks(whole image.Image, strip image.Rectangle) color.Palette {
	seen := map[color.RGBA]int{}
	for y := strip.Min.Y; y < strip.Max.Y; y++ {
		for x := strip.Min.X; x < strip.Max.X; x++ {
			seen[color.RGBAModel.Convert(whole.At(x, y)).(color.RGBA)]++
		}
	}
	all := make([]color.RGBA, 0, len(seen))
	for c := range seen {
		all = append(all, c)
	}
	order := func(a, b color.RGBA) int {
		if n := seen[b] - seen[a]; n != 0 {
			return n
		}
		return int(a.R)<<16 + int(a.G)<<8 + int(a.B) - (int(b.R)<<16 + int(b.G)<<8 + int(b.B))
	}
	slices.SortFunc(all, order)
	var out color.Palette
	for _, c := range all[:min(256, len(all))] {
		out = append(out, c)
	}
	return out
}
