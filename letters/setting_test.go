package letters

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// greetings are texts in each script that has a face, with what is hard in it: joined letters, a joiner that parts, points
// above and below, vowels before their consonants, stacked marks.
var greetings = map[string]string{
	"roman": "Zoé Łukasik, fi-17½", "hebrew": "שָׁלוֹם", "arabic": "مُحَمَّد لا إله", "persian": "می\u200cخواهم", "thai": "น้ำใจที่ยิ่งใหญ่", "devanagari": "क्षत्रिय हिन्दी र्कि",
	"armenian": "Շնորհակալ", "georgian": "გმადლობთ", "hangul": "감사합니다", "han": "東京都千代田区", "symbols": "♥★",
}

// Each run is set as HarfBuzz sets it by its own program: the same glyphs, in the same order, as far apart.
// Source: HarfBuzz 6 (Debian: libharfbuzz-bin), by which many systems set their type.
func TestRunsAreSetAsHarfBuzzSetsThem(t *testing.T) {
	t.Parallel()
	s := NewSetter()
	for name, text := range greetings {
		clean, missing := Clean(text)
		if clean != text || missing != nil {
			t.Errorf("%s: %q is cleaned to %q, lacking %q", name, text, clean, string(missing))
			continue
		}
		for _, word := range strings.Fields(text) {
			line := s.Set(word, Roman)
			face := line.Glyphs[0].Face
			if slices.ContainsFunc(line.Glyphs, func(g Glyph) bool { return g.Face != face }) {
				t.Fatalf("%s: %q is set in several faces", name, word)
			}
			var got []string
			for _, g := range line.Glyphs {
				got = append(got, fmt.Sprintf("%d@%d,%d+%d", g.ID, g.X, g.Y, g.Advance))
			}
			if want := harfBuzz(t, face, word); !slices.Equal(got, want) {
				t.Errorf("%s, %q:\ngot  %s\nwant %s", name, word, got, want)
			}
		}
	}
}

// harfBuzz sets a word by hb-shape: "glyph@x,y+advance" of each, in thousandths.
func harfBuzz(t *testing.T, face *Face, word string) []string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "face.ttf")
	if err := os.WriteFile(file, face.TTF(), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command("hb-shape", "--font-size=1000", "--no-glyph-names", "--no-clusters", "--output-format=json", file, word).Output()
	if err != nil {
		t.Fatalf("hb-shape: %v\ninstall HarfBuzz's programs (Debian: libharfbuzz-bin)", err)
	}
	var glyphs []string
	for part := range strings.SplitSeq(strings.Trim(string(out), "[]\n"), "},{") {
		var id, dx, dy, ax, ay int
		part = strings.Trim(part, "{}")
		if _, err := fmt.Sscanf(part, `"g":%d,"dx":%d,"dy":%d,"ax":%d,"ay":%d`, &id, &dx, &dy, &ax, &ay); err != nil {
			t.Fatalf("hb-shape says %q: %v", part, err)
		}
		glyphs = append(glyphs, fmt.Sprintf("%d@%d,%d+%d", id, dx, dy, ax))
	}
	return glyphs
}

// What is set tells its whole text, each cluster once, whatever it is.
func TestGlyphsTellTheWholeText(t *testing.T) {
	t.Parallel()
	s := NewSetter()
	script := rapid.SampledFrom([]rune("aé 1½-(אבשׁ)سلاةًสวัที่नमस्ते東京한♥Ωя,.\u200c"))
	rapid.Check(t, func(t *rapid.T) {
		text, _ := Clean(string(rapid.SliceOfN(script, 0, 12).Draw(t, "text")))
		line := s.Set(text, rapid.SampledFrom([]Style{Roman, Italic, Bold}).Draw(t, "style"))
		var told []rune
		wide := 0
		for _, g := range line.Glyphs {
			told = append(told, []rune(g.Text)...)
			wide += g.Advance
			if g.ID == 0 {
				t.Fatalf("%q: a glyph of nothing is drawn", text)
			}
		}
		want := []rune(text)
		slices.Sort(told)
		slices.Sort(want)
		if !slices.Equal(told, want) {
			t.Fatalf("%q tells %q", string(want), string(told))
		}
		if wide != line.Width {
			t.Fatalf("%q is %d wide, its glyphs %d", text, line.Width, wide)
		}
	})
}

// Every embedded face opens, and is the one that its letters are set in.
func TestFaces(t *testing.T) {
	t.Parallel()
	for want, r := range map[string]rune{"roman": 'Ł', "hebrew": 'ש', "arabic": 'س', "thai": 'ส', "devanagari": 'न', "armenian": 'Շ', "georgian": 'გ', "symbols": '♥', "hangul": '한', "han": '東', "more": '╬'} {
		if f := faceFor([]rune{r}, Roman); f == nil || f.Name != want {
			t.Errorf("%c is set in %v, want %s", r, f, want)
		}
	}
	for s, want := range map[Style]string{Italic: "italic", Bold: "bold"} {
		if f := faceFor([]rune("é"), s); f == nil || f.Name != want {
			t.Errorf("%s: é is set in %v", want, f)
		}
	}
}
