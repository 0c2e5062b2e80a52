package desk

import (
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"solander/edition"
)

// Shown is a text from outside as it may stand in one line of a log or a terminal: what would break the line, move the
// cursor or turn the reading order is written as an escape, and so is what is no UTF-8. Source: ECMA-48, 5 (control functions,
// from memory).
func Shown(text string) string {
	var b strings.Builder
	for i, r := range text {
		if r == utf8.RuneError && !strings.HasPrefix(text[i:], "\uFFFD") {
			b.WriteString(`\x` + strconv.FormatUint(uint64(text[i]), 16))
			continue
		}
		writeShown(&b, r, "")
	}
	return b.String()
}

// writeShown writes a rune, or its escape when it controls anything; those in keep are written as they are.
func writeShown(b *strings.Builder, r rune, keep string) {
	if strings.ContainsRune(keep, r) || !edition.Unprintable(r) {
		b.WriteRune(r)
		return
	}
	q := strconv.QuoteRuneToASCII(r)
	b.WriteString(q[1 : len(q)-1])
}

// TellLine writes one line of a log.
func TellLine(w io.Writer, format string, args ...any) {
	fmt.Fprintln(w, Shown(fmt.Sprintf(format, args...)))
}

// people is a stream that people read: what controls a terminal goes out as an escape, but for ends of lines and tabs; what is painted
// is so where the stream is coloured.
type people struct {
	io.Writer
	coloured bool
}

func (p people) Write(text []byte) (int, error) {
	var b strings.Builder
	for rest := text; len(rest) > 0; {
		r, n := utf8.DecodeRune(rest)
		colour, paints := sgr[r]
		switch {
		case paints && p.coloured:
			b.WriteString(colour)
		case paints:
		case r == utf8.RuneError && n == 1:
			b.WriteString(`\x` + strconv.FormatUint(uint64(rest[0]), 16))
		default:
			writeShown(&b, r, "\n\t")
		}
		rest = rest[n:]
	}
	if _, err := io.WriteString(p.Writer, b.String()); err != nil {
		return 0, err
	}
	return len(text), nil
}
