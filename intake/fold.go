package intake

import (
	"strings"
	"unicode"
)

// Fold returns a text as names, titles and headings are compared: small letters, each run of spaces and marks
// other than letters and digits one space, none at the ends. Letters with marks stay what they are.
func Fold(s string) string {
	var b strings.Builder
	gap := false
	for _, r := range s {
		switch {
		case unicode.IsLetter(r) || unicode.IsDigit(r) || unicode.Is(unicode.Mn, r):
			if gap && b.Len() > 0 {
				b.WriteByte(' ')
			}
			gap = false
			b.WriteRune(unicode.ToLower(r))
		case r == '\'' || r == '’':
		default:
			gap = true
		}
	}
	return b.String()
}

// WordKey is a word of states as it is compared; a sign such as ✓ stays what it is.
func WordKey(text string) string {
	if w := Fold(text); w != "" {
		return w
	}
	return Clean(text)
}

// Clean joins the lines and spaces of a text of one line.
func Clean(s string) string { return strings.Join(strings.Fields(s), " ") }

// One is 1 when something holds, else 0: for counting.
func One(holds bool) int {
	if holds {
		return 1
	}
	return 0
}
