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
