// Package almanac writes what other programs of the artist's keep: the studio's promises as a calendar (iCalendar,
// RFC 5545) and its buyers as cards (vCard 4.0, RFC 6350). Both are text of content lines, folded and escaped
// by the same rules.
package almanac

import (
	"io"
	"strings"
	"time"
	"unicode/utf8"
)

// most is the octets of a line without its end, before it is folded. Source: RFC 5545, section 3.1; RFC 6350,
// section 3.2.
const most = 75

// fold parts a content line into lines of at most 75 octets; each further one begins with a space, which counts.
// No character is cut in two.
func fold(line string) string {
	var b strings.Builder
	room := most
	for line != "" {
		n := min(room, len(line))
		for n < len(line) && n > 0 && !utf8.RuneStart(line[n]) {
			n--
		}
		b.WriteString(line[:n])
		if line = line[n:]; line != "" {
			b.WriteString("\r\n ")
		}
		room = most - 1
	}
	b.WriteString("\r\n")
	return b.String()
}

// escaped writes a text value: backslash, comma, semicolon and line ends are escaped, other control characters
// left out. Source: RFC 5545, section 3.3.11; RFC 6350, section 3.4.
func escaped(text string) string {
	text = escapes.Replace(lineEnds.Replace(strings.ToValidUTF8(text, "\ufffd")))
	return strings.Map(func(r rune) rune {
		if r < 0x20 && r != '\t' || r == 0x7f {
			return -1
		}
		return r
	}, text)
}

// Each is made once: a file of all buyers has half a million texts.
var (
	lineEnds = strings.NewReplacer("\r\n", "\n", "\r", "\n")
	escapes  = strings.NewReplacer(`\`, `\\`, ",", `\,`, ";", `\;`, "\n", `\n`)
)

// lines collects content lines.
type lines struct{ b strings.Builder }

func (l *lines) add(name, value string) { l.b.WriteString(fold(name + ":" + value)) }

// text adds a text value, unless it is empty.
func (l *lines) text(name, value string) {
	if value != "" {
		l.add(name, escaped(value))
	}
}

func (l *lines) writeTo(w io.Writer) error {
	_, err := io.WriteString(w, l.b.String())
	return err
}

// instant is a UTC date-time. Source: RFC 5545, section 3.3.5, form 2; RFC 6350, section 4.3.5 (basic form).
func instant(t time.Time) string { return t.UTC().Format("20060102T150405Z") }
