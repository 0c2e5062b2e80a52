package letters

import (
	"testing"

	"pgregory.net/rapid"
)

// Sources: Unicode Standard, blocks of the scripts that the faces say they hold; emoji of the supplementary planes and
// Bengali they do not.
func TestWhatTheTypeHolds(t *testing.T) {
	for text, lacks := range map[string]string{
		"": "", "Zoé Łukasik-Müller": "", "Αθήνα Київ שלום": "", "½ × — ’ €": "", "e\u0301": "", "ＡＢＣ": "", "東京 かな 한국": "", "سارة": "", "नमस्ते สวัสดี": "", "♥ ☺️": "",
		"a 🎨 b": "🎨 (symbol)", "বাংলা 🎨": "ংবল\u09be🎨 (Bengali, symbol)", "𠮷野家": "𠮷 (Han)",
	} {
		if got := Named(text); got != lacks {
			t.Errorf("%q lacks %q, want %q", text, got, lacks)
		}
	}
}

// TestPlainLetters holds that the faces draw all that Lacking takes for granted.
func TestPlainLetters(t *testing.T) {
	for r := ' '; r <= '~'; r++ {
		for style, face := range manners {
			if text := string(r); !plainASCII(text) || faceFor([]rune{r}, Style(style)) != face {
				t.Errorf("%q is not drawn in %s", text, face.Name)
			}
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
