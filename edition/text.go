package edition

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"solander/fault"
)

const maxText = 200

// Unprintable reports characters that no line of text may hold, because a reader cannot see what they
// do: control characters, line and paragraph separators, and the explicit embeddings, overrides and
// isolates of Unicode Standard Annex 9, which show text in another order than it is stored. The marks
// that scripts need (joiners, left-to-right and right-to-left mark) are printable.
func Unprintable(r rune) bool {
	return unicode.Is(unicode.Cc, r) || r == '\u2028' || r == '\u2029' || r >= '\u202a' && r <= '\u202e' || r >= '\u2066' && r <= '\u2069'
}

func text(field, s string, required bool) error {
	switch {
	case required && strings.TrimSpace(s) == "":
		return fault.Invalidf(field, "the %s is missing", field).ToMend("fill it in")
	case !utf8.ValidString(s):
		return fault.Invalidf(field, "the %s is not UTF-8 text", field).ToMend("type it again")
	case utf8.RuneCountInString(s) > maxText:
		return fault.Invalidf(field, "the %s is longer than %d characters", field, maxText).ToMend("shorten it")
	case strings.ContainsFunc(s, Unprintable):
		return fault.Invalidf(field, "the %s holds control characters", field).ToMend("type it again on one line")
	}
	return nil
}

// readable reports a text of some lines, of UTF-8 and without hidden characters.
func readable(s string) bool {
	hidden := func(r rune) bool { return Unprintable(r) && !strings.ContainsRune("\n\r\t", r) }
	return utf8.ValidString(s) && len(s) <= 10_000 && !strings.ContainsFunc(s, hidden)
}
