package letters

import (
	"testing"

	"pgregory.net/rapid"
)

// Sources: Unicode Standard, blocks Basic Latin, Latin-1, Latin Extended-A, Greek, Cyrillic, Hebrew, which the
// embedded type says it holds (licence notes of the fonts, from memory); CJK and emoji it does not.
func TestWhatTheTypeHolds(t *testing.T) {
	for text, lacks := range map[string]string{
		"": "", "Zoé Łukasik-Müller": "", "Αθήνα Київ שלום": "", "½ × — ’ €": "", "e\u0301": "", "ＡＢＣ": "",
		"東京": "京東 (Han)", "سارة": "اةرس (Arabic)", "a 🎨 b": "🎨 (symbol)", "東 अ": "अ東 (Devanagari, Han)",
	} {
		if got := Named(text); got != lacks {
			t.Errorf("%q lacks %q, want %q", text, got, lacks)
		}
	}
}

// What is drawn can be drawn: cleaned text lacks nothing, and cleaning it again changes nothing.
func TestCleanTextLacksNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.String().Draw(t, "text")
		got, missing := Clean(text)
		if bad := Lacking(got); bad != nil {
			t.Fatalf("%q is cleaned to %q, which lacks %q", text, got, string(bad))
		}
		if again, _ := Clean(got); again != got {
			t.Fatalf("%q is cleaned to %q, then %q", text, got, again)
		}
		if (len(missing) == 0) != (Named(text) == "") {
			t.Fatalf("%q lacks %q but is named %q", text, string(missing), Named(text))
		}
	})
}

// Plain texts are not looked at letter by letter: the type holds all of basic Latin (ISO/IEC 646, the graphic characters).
func TestTheTypeHoldsBasicLatin(t *testing.T) {
	for c := ' '; c <= '~'; c++ {
		if got, missing := Clean(string(c)); got != string(c) || len(missing) > 0 {
			t.Errorf("%q is drawn as %q, and %q is missing", c, got, missing)
		}
	}
	if got := Lacking("plain 12/250\u6771"); len(got) != 1 {
		t.Errorf("of a text that ends in another script %q is missing", got)
	}
}
