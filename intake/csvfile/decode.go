package csvfile

import (
	"bytes"
	"fmt"
	"unicode/utf16"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"

	"solander/fault"
	"solander/intake"
)

// decode returns the text in UTF-8 without a byte order mark, and says how it was encoded. A text without a mark is
// UTF-8 when it is valid as that (RFC 3629), else Windows-1252.
func decode(data []byte) ([]byte, intake.Finding, error) {
	switch {
	case bytes.HasPrefix(data, []byte("\xEF\xBB\xBF")):
		text := data[3:]
		if at := badUTF8(text); at >= 0 {
			return nil, intake.Finding{}, badByte(text, at, "the file says it is UTF-8, but byte %02X is not")
		}
		return text, told("UTF-8, with a byte order mark", false), noControls(text)
	case bytes.HasPrefix(data, []byte("\xFF\xFE")):
		return decode16(data[2:], func(b []byte) uint16 { return uint16(b[0]) | uint16(b[1])<<8 }, "UTF-16, little end first")
	case bytes.HasPrefix(data, []byte("\xFE\xFF")):
		return decode16(data[2:], func(b []byte) uint16 { return uint16(b[1]) | uint16(b[0])<<8 }, "UTF-16, big end first")
	case badUTF8(data) < 0:
		return data, told("UTF-8", false), noControls(data)
	}
	return decode1252(data)
}

func told(encoding string, doubt bool) intake.Finding {
	f := intake.Finding{Rule: "csv.encoding", What: "the text was read as " + encoding, Doubt: doubt}
	if doubt {
		f.Mend = "look at names with accents; if they are wrong, save the file as UTF-8"
	}
	return f
}

func badUTF8(text []byte) int {
	for i := 0; i < len(text); {
		r, n := utf8.DecodeRune(text[i:])
		if r == utf8.RuneError && n <= 1 {
			return i
		}
		i += n
	}
	return -1
}

// decode16 decodes UTF-16 (RFC 2781).
func decode16(data []byte, unit func([]byte) uint16, name string) ([]byte, intake.Finding, error) {
	text := make([]byte, 0, len(data))
	for i := 0; i+1 < len(data); i += 2 {
		r := rune(unit(data[i:]))
		if utf16.IsSurrogate(r) {
			second := rune(0)
			if i+3 < len(data) {
				second = rune(unit(data[i+2:]))
			}
			whole := utf16.DecodeRune(r, second)
			if whole == utf8.RuneError {
				return nil, intake.Finding{}, badByte(text, len(text), "half a character of UTF-16 (%02X)", byte(r>>8))
			}
			r, i = whole, i+2
		}
		text = utf8.AppendRune(text, r)
	}
	if len(data)%2 != 0 {
		return nil, intake.Finding{}, badByte(text, len(text), "the last character of UTF-16 is cut off (%02X)", data[len(data)-1])
	}
	return text, told(name, false), noControls(text)
}

// decode1252 decodes Windows-1252, whose bytes 81, 8D, 8F, 90 and 9D are not assigned (table of the Unicode
// Consortium, CP1252.TXT).
func decode1252(data []byte) ([]byte, intake.Finding, error) {
	for i, b := range data {
		switch b {
		case 0x81, 0x8D, 0x8F, 0x90, 0x9D:
			return nil, intake.Finding{}, badByte(data, i, "byte %02X is neither UTF-8 nor Windows-1252")
		}
	}
	text, err := charmap.Windows1252.NewDecoder().Bytes(data)
	if err != nil {
		return nil, intake.Finding{}, fault.New(fault.Invalid, "the text cannot be decoded").ToMend("save the file as UTF-8").Because(err)
	}
	return text, told("Windows-1252, since it is not valid UTF-8", true), noControls(text)
}

// noControls refuses control characters other than tab and line ends: they show a file that is no text.
func noControls(text []byte) error {
	for i, b := range text {
		if b < ' ' && b != '\t' && b != '\n' && b != '\r' || b == 0x7F {
			return badByte(text, i, "byte %02X is a control character: the file is no text")
		}
	}
	return nil
}

// badByte is a fault at an offset of the text, by line and by column in characters.
func badByte(text []byte, at int, what string, b ...any) error {
	if len(b) == 0 {
		b = []any{text[at]}
	}
	line, column := place(text, at)
	return fault.New(fault.Invalid, what, b...).At("line %d, column %d", line, column).ToMend("save the file as UTF-8 text, with commas, semicolons or tabs between the cells")
}

// place returns line and column, counted from 1, of an offset. Line ends are CR LF, LF or CR.
func place[T string | []byte](text T, at int) (line, column int) {
	line, start := 1, 0
	for i := 0; i < at; i++ {
		if text[i] == '\n' || text[i] == '\r' && (i+1 == len(text) || text[i+1] != '\n') {
			line, start = line+1, i+1
		}
	}
	return line, utf8.RuneCountInString(string(text[start:at])) + 1
}

func separatorName(sep byte) string {
	switch sep {
	case ',':
		return "commas"
	case ';':
		return "semicolons"
	}
	return "tabs"
}

func separatorFinding(sep byte, why string, doubt bool) intake.Finding {
	f := intake.Finding{Rule: "csv.separator", What: fmt.Sprintf("the cells are parted by %s: %s", separatorName(sep), why), Doubt: doubt}
	if doubt {
		f.Mend = "look whether the columns are right; if not, save the file with commas"
	}
	return f
}
