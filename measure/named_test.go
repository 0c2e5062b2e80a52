package measure_test

import (
	"regexp"
	"testing"

	"pgregory.net/rapid"

	"solander/measure"
)

func TestGrammageBesideAPapersName(t *testing.T) {
	g := 310 * measure.GSM
	for name, want := range map[string]string{
		"":                       "310 gsm",
		"cotton rag":             "cotton rag 310 gsm",
		"cotton rag, 310 gsm":    "cotton rag, 310 gsm",
		"Cotton rag 310":         "Cotton rag 310",
		"310 g/m² rag":           "310 g/m² rag",
		"rag 310 g / m2":         "rag 310 g / m2",
		"rag 310GSM":             "rag 310GSM",
		"rag 310g":               "rag 310g",
		"Rag No. 5":              "Rag No. 5 310 gsm", // the number of a paper is no grammage
		"80 lb cover":            "80 lb cover",
		"rag, 115# cover stock":  "rag, 115# cover stock",
		"Museum 1310":            "Museum 1310 310 gsm",
		"two 19 in sheets glued": "two 19 in sheets glued 310 gsm",
	} {
		if got := g.Beside(name); got != want {
			t.Errorf("%q: %q, want %q", name, got, want)
		}
	}
}

// Whatever way a grammage is written in a name, it stands there once; done twice it is the same.
func TestGrammageStandsOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := measure.Grammage(rapid.IntRange(20, 2000).Draw(t, "gsm")) * measure.GSM
		name := rapid.SampledFrom([]string{"rag", "etching paper", "Büttenpapier", ""}).Draw(t, "paper")
		once := g.Beside(name)
		if again := g.Beside(once); again != once || len(digits.FindAllString(once, -1)) != 1 {
			t.Fatalf("%q becomes %q, then %q", name, once, again)
		}
	})
}

var digits = regexp.MustCompile(`\d+`)
