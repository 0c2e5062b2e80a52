package export

import (
	"bufio"
	"io"
	"strings"

	"solander/fault"
)

// Guard neutralises a text that a spreadsheet would run as a formula: what begins with = + - @, a tab, a
// carriage return, a line feed or one of the full-width signs gets an apostrophe in front; so does what begins
// with an apostrophe, so that Unguard gives back exactly what was. Source: OWASP, "CSV Injection" (the signs, and
// the apostrophe as the remedy), from memory.
func Guard(s string) string {
	if s != "" && strings.ContainsRune("'=+-@\t\r\n＝＋－＠", []rune(s[:min(len(s), 4)])[0]) {
		return "'" + s
	}
	return s
}

// Unguard takes off what Guard put in front.
func Unguard(s string) string { return strings.TrimPrefix(s, "'") }

// mark is the byte order mark, which readers pass over at the start of a text.
const mark = "\ufeff"

// Writer writes comma-separated text by RFC 4180: lines end with CR LF, and a cell with a separator, a quote or a
// line end stands in quotes, its line ends as they are; so does one that begins with a byte order mark, which
// would be lost as the first of a text.
type Writer struct {
	w     *bufio.Writer
	comma byte
}

// NewWriter returns a writer with a separator.
func NewWriter(w io.Writer, comma byte) *Writer { return &Writer{bufio.NewWriter(w), comma} }

// Write writes one row. Faults of the stream show here or at Flush.
func (w *Writer) Write(cells ...string) error {
	for i, c := range cells {
		if i > 0 {
			w.w.WriteByte(w.comma)
		}
		if strings.ContainsAny(c, "\"\r\n"+string(w.comma)) || len(cells) == 1 && c == "" || strings.HasPrefix(c, mark) {
			c = `"` + strings.ReplaceAll(c, `"`, `""`) + `"`
		}
		w.w.WriteString(c)
	}
	_, err := w.w.WriteString("\r\n")
	return err
}

// Flush hands all on.
func (w *Writer) Flush() error { return w.w.Flush() }

// Reader reads comma-separated text by RFC 4180, exactly: line ends within quotes stay as they are. A
// line may end with LF alone, and a byte order mark in front is passed over.
type Reader struct {
	r     *bufio.Reader
	comma byte
	Row   int // of the row read last, from 1
	begun bool
}

// NewReader returns a reader with a separator.
func NewReader(r io.Reader, comma byte) *Reader { return &Reader{r: bufio.NewReader(r), comma: comma} }

// mostRow bounds a row, so that an unclosed quote cannot fill the memory.
const mostRow = 32 << 20

// Read returns the next row; io.EOF at the end. Faults: Invalid for a quote that does not close or stands
// within a cell.
func (r *Reader) Read() ([]string, error) {
	if !r.begun {
		r.begun = true
		if front, err := r.r.Peek(len(mark)); err == nil && string(front) == mark {
			_, _ = r.r.Discard(len(mark)) // they were peeked
		}
	}
	r.Row++
	var row []string
	for size := 0; size < mostRow; {
		cell, last, err := r.cell()
		if err == io.EOF && row == nil && cell == "" {
			return nil, io.EOF
		}
		if err != nil && err != io.EOF {
			return nil, err
		}
		row = append(row, cell)
		size += len(cell) + 1
		if last || err == io.EOF {
			return row, nil
		}
	}
	return nil, r.wrong("the row is longer than %d MB", mostRow>>20)
}

func (r *Reader) wrong(format string, args ...any) error {
	return fault.New(fault.Invalid, format, args...).At("row %d", r.Row).ToMend("look at the quotes of the row")
}

// cell reads one cell and tells whether it ends the row. With io.EOF the cell is the last of all.
func (r *Reader) cell() (text string, last bool, err error) {
	var b strings.Builder
	first, err := r.r.ReadByte()
	if err != nil {
		return "", true, err
	}
	if first == '"' {
		return r.quoted(&b)
	}
	for c := first; ; {
		switch c {
		case r.comma:
			return b.String(), false, nil
		case '\n':
			return strings.TrimSuffix(b.String(), "\r"), true, nil
		case '"':
			return "", false, r.wrong("a quote stands within a cell")
		}
		b.WriteByte(c)
		if c, err = r.r.ReadByte(); err != nil || b.Len() > mostRow {
			return b.String(), true, err
		}
	}
}

func (r *Reader) quoted(b *strings.Builder) (string, bool, error) {
	for {
		c, err := r.r.ReadByte()
		if err != nil || b.Len() > mostRow {
			return "", false, r.wrong("a quote does not close")
		}
		if c != '"' {
			b.WriteByte(c)
			continue
		}
		next, err := r.r.ReadByte()
		if err == nil && next == '\r' {
			if next, err = r.r.ReadByte(); err == nil && next != '\n' {
				return "", false, r.wrong("something follows a closing quote")
			}
		}
		switch {
		case err == io.EOF:
			return b.String(), true, io.EOF
		case err != nil:
			return "", false, err
		case next == '"':
			b.WriteByte('"')
		case next == r.comma:
			return b.String(), false, nil
		case next == '\n':
			return b.String(), true, nil
		default:
			return "", false, r.wrong("something follows a closing quote")
		}
	}
}
