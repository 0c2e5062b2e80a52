// Package csvfile reads comma-separated text into intake's neutral form: RFC 4180, with a comma, a
// semicolon or a tab between fields, in UTF-8, UTF-16 with a byte order mark, or Windows-1252.
//
// Encoding and separator are found in the text and told as findings. Bytes that are no text are refused with
// line and column, never replaced. Line ends may be CR LF, LF or CR. All cells are texts: what they mean is
// the mapping's business.
package csvfile

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"

	"solander/fault"
	"solander/intake"
)

// Limits of what is read; beyond, the file is refused.
const (
	MostBytes   = 64 << 20
	MostRows    = 200_000
	MostColumns = 500
	MostCells   = 5_000_000
	MostCell    = 32_767 // bytes of one cell: what spreadsheet programs hold in characters
)

// Read reads a whole file. name is told in the table only. progress, if not nil, is called now and then with the bytes
// done and their total.
// Faults: TooLarge beyond the limits; Invalid for bytes that are no text, a quote that is never closed or stands where
// none may (RFC 4180, section 2, rules 5 to 7), and an empty file.
func Read(name string, data []byte, progress func(done, total int)) (intake.Table, error) {
	t := intake.Table{Name: name, Kind: intake.Text}
	if len(data) > MostBytes {
		return t, fault.New(fault.TooLarge, "a file of %d MB is too large", len(data)>>20).At("%s", name).ToMend("take out what is not needed: at most %d MB are read", MostBytes>>20)
	}
	sum := sha256.Sum256(data)
	t.Hash = hex.EncodeToString(sum[:])
	text, encoding, err := decode(data)
	if err != nil {
		return t, inFile(err, name)
	}
	if len(bytes.TrimSpace(text)) == 0 {
		return t, fault.New(fault.Invalid, "the file is empty").At("%s", name).ToMend("choose a file with rows")
	}
	sep, why := separator(text)
	t.Findings = append(t.Findings, encoding, why)
	p := parser{text: string(text), sep: sep, line: 1, progress: progress}
	sheet, err := p.sheet()
	if err != nil {
		return t, inFile(err, name)
	}
	t.Findings = append(t.Findings, p.findings()...)
	t.Sheets = []intake.Sheet{sheet}
	return t, nil
}

// inFile names the file before the place in it.
func inFile(err error, name string) error {
	f := fault.All(err)[0]
	if f.Where != "" {
		return f.At("%s, %s", name, f.Where)
	}
	return f.At("%s", name)
}
