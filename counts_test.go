package solander_test

import (
	"io/fs"
	"os"
	"path"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// counts are numbers that a page states, each with where what it counts stands. The rooms are looked through by name: a file may move.
var counts = []struct {
	page, says string // what it says; the group is the number, in figures or as a word
	in, stands string // files below the root by a pattern of their path; where the same number stands, or what is counted when that is none
}{
	{"CONTRIBUTING.md", `injects ([\d ]+) faults`, `^Makefile$`, `-mishaps (\d+)`},
	{"docs/reliability.md", `make faults +# (two thousand);`, `^Makefile$`, `-mishaps (\d+)`},
	{"docs/reliability.md", `holds (\w+) blocks of \d+ bytes`, `^store/.*\.go$`, `\bSealBlocks += (\d+)`},
	{"docs/reliability.md", `blocks of (\d+) bytes`, `^store/.*\.go$`, `\bSealBlock += (\d+)`},
	{"docs/reliability.md", `block \*n\* mod (\d+)`, `^store/.*\.go$`, `\bSealBlocks += (\d+)`},
	{"docs/guide.md", `unchanged for \*\*(\w+) seconds\*\*`, `^cli/.*\.go$`, `\bstandsStill += (\d+) \* time\.Second`},
	{"docs/guide.md", `files over (\d+) MB`, `^(movein|intake)/.*\.go$`, `\bMaxFile += (\d+) << 20`},
	{"docs/guide.md", `after (\d+) seconds it stops by itself`, `^web/.*\.go$`, `p\.Search, (\d+)\*time\.Second`},
	{"docs/formats/api.md", `(\d+) seconds inside the studio`, `^api/.*\.go$`, `\blongest += (\d+) \* time\.Second`},
	{"docs/developer.md", `the (\w+) things that are added most`, `^docs/developer\.md$`, `(?m)^## A (use case|migration|price card)$`},
}

var numerals = []string{"no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen"}

// figure reads a number as a page says it; ok is false when it is none.
func figure(text string) (n int, ok bool) {
	for i, word := range numerals {
		switch text {
		case word:
			return i, true
		case word + " thousand":
			return i * 1000, true
		}
	}
	n, err := strconv.Atoi(strings.ReplaceAll(text, " ", ""))
	return n, err == nil
}

// What a page counts is what there is.
func TestPagesCountRight(t *testing.T) {
	for _, c := range counts {
		page, err := os.ReadFile(c.page)
		if err != nil {
			t.Fatal(err)
		}
		said := regexp.MustCompile(c.says).FindStringSubmatch(string(page))
		if said == nil {
			t.Errorf("%s does not say %s any more: mend the table of counts", c.page, c.says)
			continue
		}
		want, ok := figure(said[1])
		if !ok {
			t.Errorf("%s: %q is no number", c.page, said[1])
			continue
		}
		if got := counted(t, regexp.MustCompile(c.in), regexp.MustCompile(c.stands)); got != want {
			t.Errorf("%s says %q; it is %d by %s in %s", c.page, said[0], got, c.stands, c.in)
		}
	}
}

// counted is the number that stands in some file, or how often it is found when what stands there is none.
func counted(t *testing.T, in, stands *regexp.Regexp) int {
	t.Helper()
	found := 0
	number := -1
	err := fs.WalkDir(os.DirFS("."), ".", func(p string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() && (path.Base(p) == "node_modules" || path.Base(p) == "testdata" || path.Base(p) == ".git") {
			if err == nil {
				err = fs.SkipDir
			}
			return err
		}
		if d.IsDir() || !in.MatchString(p) || strings.HasSuffix(p, "_test.go") {
			return nil
		}
		b, err := os.ReadFile(p)
		for _, m := range stands.FindAllSubmatch(b, -1) {
			found++
			if n, ok := figure(string(m[1])); ok {
				number = n
			}
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	if found == 0 {
		t.Errorf("nothing is found by %s in %s: mend the table of counts", stands, in)
	}
	if number >= 0 {
		return number
	}
	return found
}

// The reading of figures must be able to fail.
func TestFigures(t *testing.T) {
	for text, want := range map[string]int{"2 000": 2000, "two thousand": 2000, "sixteen": 16, "384": 384, "three": 3} {
		if n, ok := figure(text); !ok || n != want {
			t.Errorf("%q is %d, %v", text, n, ok)
		}
	}
	if n, ok := figure("many"); ok {
		t.Errorf("many is %d", n)
	}
}
