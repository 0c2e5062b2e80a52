package words

import (
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"solander/store/engine"
)

func TestFold(t *testing.T) {
	for text, want := range map[string]string{
		"Ødegård": "odegard", "STRASSE Straße": "strasse strasse", "İstanbul": "istanbul", "Łódź": "lodz", "ﬁne": "fine",
		"e\u0301 \u00e9": "e e", "ΝΊΚΟΣ νίκος": "νικοσ νικοσ", "東京": "東京", "": "", "Æsir Œuvre": "aesir oeuvre", "½": "1⁄2",
	} {
		if got := Fold(text); got != want {
			t.Errorf("fold(%q) = %q, want %q", text, got, want)
		}
	}
}

func TestWordsOf(t *testing.T) {
	for text, want := range map[string][]string{
		"S-1042":           {"s", "1042"},
		"AP 2/5, 17/250":   {"ap", "2", "5", "2of5", "17", "250", "17of250"},
		"m.l@Post.example": {"m", "l", "post", "example", "mlatpostexample"},
		"東京都 Bld.3":        {"東", "京", "都", "bld", "3"},
		" -- ’ … ":         nil,
	} {
		if diff := cmp.Diff(want, wordsOf(text)); diff != "" {
			t.Errorf("%q (-want +got):\n%s", text, diff)
		}
	}
}

func TestAsked(t *testing.T) {
	for text, want := range map[string][]engine.Term{
		"17/250 Her":        {{Word: "17of250", Whole: true}, {Word: "her", Whole: false}},
		"#3/50":             {{Word: "3of50", Whole: true}},
		"m.l@post":          {{Word: "mlatpost", Whole: false}},
		"3/":                {{Word: "3", Whole: false}},
		"a b c d e f g h i": {{Word: "a", Whole: false}, {Word: "b", Whole: false}, {Word: "c", Whole: false}, {Word: "d", Whole: false}, {Word: "e", Whole: false}, {Word: "f", Whole: false}, {Word: "g", Whole: false}, {Word: "h", Whole: false}},
	} {
		if diff := cmp.Diff(want, Asked(text)); diff != "" {
			t.Errorf("%q (-want +got):\n%s", text, diff)
		}
	}
}

// TestTermsAreWords holds for any text: what is asked for is found in the words of that text, and no
// term holds what a query of either engine would read as a sign of its own.
func TestTermsAreWords(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := strings.ToValidUTF8(rapid.String().Draw(t, "text"), "")
		words := wordsOf(text)
		for _, a := range Asked(text) {
			if !slices.ContainsFunc(words, func(w string) bool { return w == a.Word || !a.Whole && strings.HasPrefix(w, a.Word) }) {
				t.Fatalf("%q is asked for and is not among %q", a.Word, words)
			}
		}
		for _, w := range words {
			if w == "" || len(w) > longest || !utf8.ValidString(w) || strings.ContainsAny(w, `"'*:&|!()<>^-+\ `) {
				t.Fatalf("%q is no word", w)
			}
		}
	})
}
