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

// TestPlainLetters holds that the faces draw all that Lacking takes for granted.
func TestPlainLetters(t *testing.T) {
	for r := ' '; r <= '~'; r++ {
		if text := string(r); !plainASCII(text) || !glyphs()[r] {
			t.Errorf("%q is not drawn", text)
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
