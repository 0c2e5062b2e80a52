package leaf

import (
	"bytes"
	"cmp"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"solander/internal/testpdf"
	"solander/letters"
)

var black Colour

func about() About {
	return About{Title: "Ölbild — 東京", Author: "Ines", Creator: "Solander", When: time.Date(2026, 4, 15, 0, 0, 0, 0, time.UTC)}
}

// line is a page with one line in large type.
func line(t *testing.T, text string, style letters.Style) []byte {
	t.Helper()
	clean, missing := letters.Clean(text)
	if missing != nil {
		t.Fatalf("%q lacks %q", text, string(missing))
	}
	f := New(about())
	f.Page(600, 120).Text(20, 80, clean, Type{style, 48}, black)
	return finished(t, f)
}

func finished(t *testing.T, f *File) []byte {
	t.Helper()
	b, err := f.Bytes()
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// What is written is what is copied from the file, in every script, as poppler reads it. Marks that are drawn apart from
// their letters come with them.
func TestTextIsReadBack(t *testing.T) {
	t.Parallel()
	for _, text := range []string{
		"Zoé Łukasik, fi-17½", "Ελένη Иван", "שלום עולם", "سارة محمد", "สวัสดี", "नमस्ते", "Շնորհակալ", "გმადლობთ", "감사합니다", "東京都千代田区", "♥",
	} {
		got := strings.Map(func(r rune) rune {
			if r >= '\u202a' && r <= '\u202e' || r == '\f' || r == '\n' { // marks of direction, which poppler adds
				return -1
			}
			return r
		}, testpdf.Text(t, line(t, text, letters.Roman)))
		if got = strings.TrimSpace(got); strings.Join(strings.Fields(got), " ") != text {
			t.Errorf("%q is read back as %q", text, got)
		}
	}
}

// A line of both directions stands in the order of Unicode Standard Annex 9, from left to right; with -bbox, poppler gives
// the letters of a word as they stand too.
func TestWordsOfBothDirectionsStandInTheirOrder(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]string{
		"To שלום 17 b": "To 17 םולש b", "רחוב הרצל 17/3": "17/3 לצרה בוחר", "Zoé سارة محمد Quill": "Zoé دمحم ةراس Quill",
	} {
		read := exec.Command("pdftotext", "-bbox", "-", "-")
		read.Stdin = bytes.NewReader(line(t, text, letters.Roman))
		out, err := read.Output()
		if err != nil {
			t.Fatalf("pdftotext -bbox: %v", err)
		}
		type word struct {
			left float64
			text string
		}
		var words []word
		for _, m := range regexp.MustCompile(`xMin="([0-9.]+)"[^>]*>([^<]*)</word>`).FindAllStringSubmatch(string(out), -1) {
			left, err := strconv.ParseFloat(m[1], 64)
			if err != nil {
				t.Fatal(err)
			}
			words = append(words, word{left, m[2]})
		}
		slices.SortFunc(words, func(a, b word) int { return cmp.Compare(a.left, b.left) })
		var got []string
		for _, w := range words {
			got = append(got, w.text)
		}
		if strings.Join(got, " ") != want {
			t.Errorf("%q stands as %q, want %q", text, got, want)
		}
	}
}

// Drawn words look as HarfBuzz's own program draws them with the same face: the same ink in the same places.
// Source: hb-view of HarfBuzz (Debian: libharfbuzz-bin), which draws by cairo; poppler draws the file.
func TestWordsLookAsHarfBuzzDrawsThem(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	t.Parallel()
	for text, face := range map[string]string{
		"Affinity Zoé": "roman", "שָׁלוֹם": "hebrew", "مُحَمَّد": "arabic", "کتاب": "arabic", "สวัสดี": "thai", "क्षत्रिय": "devanagari", "გმადლობთ": "georgian",
	} {
		set := letters.NewSetter().Set(text, letters.Roman).Glyphs[0].Face
		if set.Name != face {
			t.Fatalf("%q is set in %s, want %s", text, set.Name, face)
		}
		file := filepath.Join(t.TempDir(), face+".ttf")
		if err := os.WriteFile(file, set.TTF(), 0o600); err != nil {
			t.Fatal(err)
		}
		cmd := exec.Command("hb-view", "--font-size=192", "--margin=40", "--output-format=png", file, text)
		out, err := cmd.Output()
		if err != nil {
			t.Fatalf("hb-view: %v\ninstall HarfBuzz's programs (Debian: libharfbuzz-bin)", err)
		}
		theirs, err := png.Decode(bytes.NewReader(out))
		if err != nil {
			t.Fatal(err)
		}
		ours := testpdf.Image(t, line(t, text, letters.Roman), 1, 288) // 48 points are 192 dots
		a, b := inked(ours), inked(theirs)
		if a.Empty() || absent(a.Dx()-b.Dx()) > 3 || absent(a.Dy()-b.Dy()) > 3 {
			t.Errorf("%q takes %v, by HarfBuzz %v", text, a.Size(), b.Size())
			continue
		}
		differ, all := 0, 0
		for y := range a.Dy() {
			for x := range a.Dx() {
				is, at := dark(ours, a.Min.X+x, a.Min.Y+y), dark(theirs, b.Min.X+x, b.Min.Y+y)
				if is || at {
					all++
				}
				if is != at && !near(theirs, b.Min.X+x, b.Min.Y+y, is) {
					differ++
				}
			}
		}
		if all < 500 || differ*100 > all {
			t.Errorf("%q: %d of %d dots differ from HarfBuzz's", text, differ, all)
		}
	}
}

func absent(n int) int { return max(n, -n) }

func dark(img image.Image, x, y int) bool {
	r, g, b, a := img.At(x, y).RGBA()
	return a > 0x8000 && r+g+b < 3*0x8000
}

// near reports whether a dot of that darkness stands within two dots: edges fall differently.
func near(img image.Image, x, y int, is bool) bool {
	for dy := -2; dy <= 2; dy++ {
		for dx := -2; dx <= 2; dx++ {
			if dark(img, x+dx, y+dy) == is {
				return true
			}
		}
	}
	return false
}

// inked is the box of what is dark.
func inked(img image.Image) image.Rectangle {
	var box image.Rectangle
	for y := img.Bounds().Min.Y; y < img.Bounds().Max.Y; y++ {
		for x := img.Bounds().Min.X; x < img.Bounds().Max.X; x++ {
			if dark(img, x, y) {
				box = box.Union(image.Rect(x, y, x+1, y+1))
			}
		}
	}
	return box
}

// Numbers are printed exactly as far as they are printed.
func TestNumbers(t *testing.T) {
	t.Parallel()
	for x, want := range map[float64]string{0: "0", 1: "1", -1.5: "-1.5", 0.0004: "0", 612: "612", 595.2756: "595.276", -0.0426: "-0.043", 1.0999: "1.1", 100.01: "100.01"} {
		if got := string(num(nil, x)); got != want {
			t.Errorf("%v is printed %s, want %s", x, got, want)
		}
	}
}

// A picture is drawn whole in its box, in its colours, upright or turned; what is none is not drawn.
func TestPictures(t *testing.T) {
	t.Parallel()
	img := image.NewRGBA(image.Rect(0, 0, 40, 20)) // red at the left, blue at the right
	for y := range 20 {
		for x := range 40 {
			img.Set(x, y, color.RGBA{R: 255, A: 255})
			if x >= 20 {
				img.Set(x, y, color.RGBA{B: 255, A: 255})
			}
		}
	}
	var file bytes.Buffer
	if err := jpeg.Encode(&file, img, &jpeg.Options{Quality: 95}); err != nil {
		t.Fatal(err)
	}
	f := New(about())
	p := f.Page(200, 200)
	p.Picture(file.Bytes(), 0, 0, 100, 100, false)  // 100 × 50 in the middle of its box
	p.Picture(file.Bytes(), 100, 0, 100, 100, true) // 50 × 100, the left turned down
	for _, none := range [][]byte{nil, []byte("no picture"), file.Bytes()[:20]} {
		p.Picture(none, 0, 100, 100, 100, false)
		if w, h := Sides(none); w != 0 || h != 0 {
			t.Errorf("%q has sides", none)
		}
	}
	b := finished(t, f)
	if n := bytes.Count(b, []byte("/Subtype /Image")); n != 1 {
		t.Errorf("the file has %d pictures, want 1", n)
	}
	page := testpdf.Image(t, b, 1, 72)
	for at, want := range map[image.Point]string{{20, 50}: "red", {80, 50}: "blue", {50, 10}: "white", {50, 90}: "white", {150, 20}: "blue", {150, 80}: "red", {110, 50}: "white", {50, 150}: "white"} {
		r, g, bl, _ := page.At(at.X, at.Y).RGBA()
		got := fmt.Sprint(r>>8, g>>8, bl>>8)
		if is := map[bool]string{r > 0xe000 && g < 0x2000: "red", bl > 0xe000 && r < 0x2000: "blue", r > 0xf000 && g > 0xf000 && bl > 0xf000: "white"}[true]; is != want {
			t.Errorf("at %v it is %s, want %s", at, got, want)
		}
	}
}

// The file says what it is; a second program finds no fault with it.
func TestTheFileIsSound(t *testing.T) {
	t.Parallel()
	f := New(about())
	for i := range 3 {
		p := f.Page(300, 200)
		p.Pen(black, 1)
		p.Dash(3, 2)
		p.Line(10, 10, 290, 10)
		p.Dash()
		p.Ellipse(150, 100, 40, 20, Colour{200, 200, 200})
		p.Text(20, 60, fmt.Sprint("page ", i+1), Type{letters.Bold, 12}, black)
	}
	f.Cut(2)
	b := finished(t, f)
	if pages := testpdf.Pages(t, b); len(pages) != 2 || strings.TrimSpace(pages[1]) != "page 2" {
		t.Errorf("%q", pages)
	}
	name := filepath.Join(t.TempDir(), "a.pdf")
	if err := os.WriteFile(name, b, 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command("pdfinfo", name).CombinedOutput()
	if err != nil {
		t.Fatalf("pdfinfo: %v %s", err, out)
	}
	for _, want := range []string{"Ölbild — 東京", "Ines", "Solander", "Apr 15", "300 x 200 pts"} {
		if !strings.Contains(string(out), want) {
			t.Errorf("it does not say %q:\n%s", want, out)
		}
	}
	fonts, err := exec.Command("pdffonts", name).CombinedOutput()
	if err != nil || !strings.Contains(string(fonts), "CID TrueType") || !strings.Contains(string(fonts), "yes yes yes") {
		t.Errorf("faces: %v\n%s", err, fonts)
	}
}
