package letters

import (
	"bufio"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/text/unicode/bidi"
)

// Source: BidiCharacterTest.txt of the Unicode Character Database, as the module that sets the type carries it: lines of
// characters, the direction of the paragraph, its level, and the level of every character and their order from left to
// right. Left out are lines with explicit marks of direction, which Clean takes out, with several paragraphs, and those
// whose direction is not that of their first letter.
func TestDirectionsAsUnicodeTestsThem(t *testing.T) {
	t.Parallel()
	dir, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/go-text/typesetting").Output()
	if err != nil {
		t.Fatal(err)
	}
	f, err := os.Open(filepath.Join(strings.TrimSpace(string(dir)), "bidi", "test", "BidiCharacterTest.txt"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	tested := 0
	for lines := bufio.NewScanner(f); lines.Scan(); {
		field := strings.Split(lines.Text(), ";")
		if len(field) != 5 || strings.HasPrefix(field[0], "#") {
			continue
		}
		var text []rune
		for _, code := range strings.Fields(field[0]) {
			n, err := strconv.ParseInt(code, 16, 32)
			if err != nil {
				t.Fatal(err)
			}
			text = append(text, rune(n))
		}
		if slices.ContainsFunc(text, func(r rune) bool { return hidden(r) || r == '\u2029' || r < ' ' }) {
			continue
		}
		got := levels(text)
		if base := baseLevel(text); field[1] != "2" && field[1] != strconv.Itoa(int(base)) {
			continue
		}
		tested++
		var want []uint8
		for _, level := range strings.Fields(field[3]) {
			n, err := strconv.Atoi(level)
			if err != nil {
				t.Fatal(err)
			}
			want = append(want, uint8(n))
		}
		if !slices.Equal(got, want) {
			t.Fatalf("%s: levels %v, want %v", field[0], got, want)
		}
		order := make([]int, len(text))
		for i := range order {
			order[i] = i
		}
		visual(order, func(i int) uint8 { return got[i] })
		var names []string
		for _, i := range order {
			names = append(names, strconv.Itoa(i))
		}
		if strings.Join(names, " ") != field[4] {
			t.Fatalf("%s: order %v, want %s", field[0], names, field[4])
		}
	}
	if tested < 30_000 {
		t.Errorf("%d lines were tested: the file is not what it was", tested)
	}
}

// baseLevel is the direction of the first letter.
func baseLevel(text []rune) uint8 {
	var class []bidi.Class
	for _, r := range text {
		c, _ := bidi.LookupRune(r)
		class = append(class, c.Class())
	}
	return baseOf(class)
}

// A line is set in the direction of its paragraph, whatever it begins with; the mark that says so is not seen.
func TestLinesKeepTheDirectionOfTheirParagraph(t *testing.T) {
	t.Parallel()
	s := NewSetter()
	for _, paragraph := range []string{"שלום לכם Zoé Quill", "Zoé Quill שלום לכם 17", "سارة 17 Heron 12", "Heron"} {
		for word := range strings.SplitSeq(paragraph, " ") {
			line := Directed(word, paragraph)
			if RightToLeft(line) != RightToLeft(paragraph) {
				t.Errorf("%q of %q goes the other way", word, paragraph)
			}
			if a, b := s.Set(line, Roman).Width, s.Set(word, Roman).Width; a != b {
				t.Errorf("%q is %d wide with its mark, %d without", word, a, b)
			}
			if clean, _ := Clean(line); clean != line {
				t.Errorf("%q is cleaned to %q", line, clean)
			}
		}
	}
	// By the annex: in a line of the other direction the words stand from right to left.
	var got []string
	for _, g := range s.Set(Directed("Zoé 17 שלום", "שלום"), Roman).Glyphs {
		got = append(got, g.Text)
	}
	if text := strings.Trim(strings.Join(got, ""), "\u200f"); text != "םולש Zoé 17" {
		t.Errorf("they stand as %q", text)
	}
}
