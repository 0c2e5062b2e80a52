// Package xlsx reads workbooks of the form Office Open XML (ECMA-376, part 1: SpreadsheetML) into intake's neutral
// form: what each cell shows, its exact number or day, and the one colour that is seen on it.
//
// Sheets are read as a stream, row by row. The library excelize gives number formats, the usual theme and palette; its own
// stream of rows carries texts alone, and its styles would hold a whole sheet in memory, so the rows are read here.
//
// A colour is worked out from all its ways into a file: fill of the cell, of its row or column, by RGB, theme and tint
// (18.8.19) or palette (18.8.27), and conditional formats (18.3.1.10). A conditional format that cannot be worked out from the
// sheet alone is told as a finding, never guessed.
//
// Refused: macros, encryption, other forms of workbooks, XML with a document type, and whatever is beyond the limits.
package xlsx

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"encoding/hex"

	"solander/fault"
	"solander/intake"
)

// Limits of what is read; beyond, the file is refused.
const (
	MostBytes    = 64 << 20  // of the file
	MostUnpacked = 256 << 20 // of all its parts
	MostParts    = 5_000
	MostRatio    = 250 // unpacked to packed, of parts above ratioFrom
	MostSheets   = 100
	MostRows     = 200_000 // with a value, of all sheets
	MostColumns  = 500     // the last one with a value
	MostCells    = 3_000_000
	MostCell     = 32_767 * 4 // bytes of one cell: 32 767 characters are what spreadsheet programs hold
	mostStrings  = 128 << 20  // bytes of all shared texts
	ratioFrom    = 4 << 20
	lastColumn   = 16_384 // XFD, the last one of a sheet
	lastRow      = 1 << 20
)

// Read reads a whole workbook. name is told in the table, and its ending is looked at. progress, if not nil, is called now and
// then with the bytes of sheets done and their total.
// Faults: Refused for macros and encryption; TooLarge beyond the limits; Invalid for anything that is not such a workbook.
func Read(name string, data []byte, progress func(done, total int)) (intake.Table, error) {
	t := intake.Table{Name: name, Kind: intake.Workbook}
	if len(data) > MostBytes {
		return t, fault.New(fault.TooLarge, "a file of %d MB is too large", len(data)>>20).At("%s", name).ToMend("split the workbook: at most %d MB are read", MostBytes>>20)
	}
	sum := sha256.Sum256(data)
	t.Hash = hex.EncodeToString(sum[:])
	if err := notOurs(name, data); err != nil {
		return t, err
	}
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return t, fault.New(fault.Invalid, "the file is no workbook, or it is damaged").At("%s", name).ToMend("open it in a spreadsheet program and save it again as .xlsx").Because(err)
	}
	b := &book{name: name, progress: progress}
	if b.parts, err = partsOf(name, z); err != nil {
		return t, err
	}
	if err := b.open(); err != nil {
		return t, err
	}
	if t.Sheets, err = b.sheets(); err != nil {
		return t, err
	}
	t.Findings = b.findings
	return t, nil
}
