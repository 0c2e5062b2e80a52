// Package fold takes case and accents off texts, so that words and names can be compared as a person types them. It
// keeps spaces and signs; what they mean is for whoever compares.
package fold

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// Text takes case and accents away: "Ødegård" gives "odegard", "Straße" gives "strasse". Texts that Unicode calls
// compatible (a full-width letter, a ligature) become the same.
// Source: Unicode Standard Annex 15, normalization form KD; the letters below: common practice, no source.
func Text(text string) string {
	if plain(text) {
		return strings.ToLower(text) // most texts, and quicker
	}
	var b strings.Builder
	b.Grow(len(text))
	for _, r := range norm.NFKD.String(text) {
		switch {
		case unicode.Is(unicode.Mn, r):
		case r < 0x80:
			b.WriteRune(unicode.ToLower(r))
		default:
			if plain, ok := letters[unicode.ToLower(r)]; ok {
				b.WriteString(plain)
			} else {
				b.WriteRune(unicode.ToLower(r))
			}
		}
	}
	return b.String()
}

// letters are those that no decomposition of Unicode takes apart, as a person types them without; and
// the sigma that stands at the end of a word.
var letters = map[rune]string{
	'ß': "ss", 'æ': "ae", 'œ': "oe", 'ø': "o", 'đ': "d", 'ð': "d", 'ł': "l", 'þ': "th", 'ħ': "h", 'ı': "i", 'ŧ': "t", 'ς': "σ",
}

// plain reports a text of ASCII alone.
func plain(text string) bool {
	for i := range len(text) {
		if text[i] >= utf8.RuneSelf {
			return false
		}
	}
	return true
}
