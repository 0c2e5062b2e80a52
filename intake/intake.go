// Package intake holds what moving in is about: a table as a reader found it, a mapping that says what stands where, and the report
// of what its rows would make. It proposes, she decides, and studio writes.
//
// A reader (intake/xlsx, intake/csvfile) gives a Table: sheets of rows of cells in one neutral form. A Mapping says which column is
// which field and what each of her fill colours means; intake/guess offers one, with a reason each, and finds the saved one that fits.
// intake/proposal makes the trial: a Report with every order, buyer and edition that the rows would make, every problem with its place
// and its mend, and every fact found in a note with the words it came from. A fact, or anything else that was guessed, is taken only
// when Answers says so by its id. Each proposal keeps its rows word for word.
//
// This room and those below it are pure: no file, clock, database or chance. The same table, mapping, known things, day and
// answers give the same report, byte for byte.
package intake

import (
	"strings"

	"solander/calendar"
)

// Table is one file as a reader found it.
type Table struct {
	Name     string    `json:"name"` // of the file, as the caller said
	Kind     Kind      `json:"kind"`
	Hash     string    `json:"hash"` // SHA-256 of the file's bytes, in hexadecimal digits
	Sheets   []Sheet   `json:"sheets"`
	Findings []Finding `json:"findings,omitempty"` // what the reader has to tell, in the order of the file
}

// Kind tells the forms of files apart.
type Kind string

// The kinds of files.
const (
	Workbook Kind = "xlsx"
	Text     Kind = "csv"
)

// Sheet is one sheet of a workbook; a text file has one, without a name.
type Sheet struct {
	Name   string `json:"name"`
	Hidden bool   `json:"hidden,omitempty"`
	Rows   []Row  `json:"rows"` // rows with at least one cell that is not blank or has a fill, by rising N
}

// Row is one row of a sheet. Cells stands by column, from column A on; what is cut off behind is blank.
type Row struct {
	N      int    `json:"n"` // as a spreadsheet program counts, from 1; of a text file, the line where the row begins
	Hidden bool   `json:"hidden,omitempty"`
	Cells  []Cell `json:"cells"`
}

// Cell is one cell. Text is what the cell shows. A number is kept as exact decimal text: never as a float.
type Cell struct {
	Text   string       `json:"text,omitempty"`
	Number string       `json:"number,omitempty"` // of a Number: "-12.5", digits, one point, no grouping, no exponent
	Day    calendar.Day `json:"day,omitzero"`     // of a Date
	Fill   Fill         `json:"fill,omitzero"`    // the colour that is seen, whatever its way into the file
	Kind   CellKind     `json:"kind,omitempty"`
	// Merged says that the cell is covered by a merged range: its value is carried from the range's first cell.
	Merged  bool `json:"merged,omitempty"`
	Formula bool `json:"formula,omitempty"` // the value was computed by a formula, as last saved
}

// CellKind tells what a cell holds.
type CellKind uint8

// The kinds of cells. A text that looks like a number is a Words.
const (
	Blank CellKind = iota
	Words
	Number
	Date
	Bool
	Broken // an error value such as #REF!, or a formula that was saved without its value
)

// Blank reports a row without any value; it may still have fills.
func (r Row) Blank() bool {
	for _, c := range r.Cells {
		if !c.Blank() {
			return false
		}
	}
	return true
}

// At returns the cell in a column, counted from 0; a blank one beyond the end.
func (r Row) At(column int) Cell {
	if column < 0 || column >= len(r.Cells) {
		return Cell{}
	}
	return r.Cells[column]
}

func (c Cell) Blank() bool {
	return c.Kind == Blank || c.Kind == Words && strings.TrimSpace(c.Text) == ""
}

// Finding is something that a reader met in a file and that the artist should know: a rule for colours that
// could not be worked out, a formula without its value, a guessed encoding. Rule is a stable name.
type Finding struct {
	Rule  string `json:"rule"`
	Sheet string `json:"sheet,omitempty"`
	Row   int    `json:"row,omitempty"`   // 0: the whole sheet
	Cell  string `json:"cell,omitempty"`  // "C7" or a range "A2:H90"
	What  string `json:"what"`            // a plain sentence part
	Mend  string `json:"mend,omitempty"`  // what to do about it, if anything
	Count int    `json:"count,omitempty"` // how many of the kind, where only the first is told; 0 = this one
	Doubt bool   `json:"doubt,omitempty"` // she should look; else it is only told
}

// Letters returns the name of a column, counted from 0, as spreadsheet programs write it: A … Z, AA …
// (ECMA-376 part 1, 18.3.1.4, cell references in the A1 style).
func Letters(column int) string {
	if column < 0 {
		return ""
	}
	var b []byte
	for n := column + 1; n > 0; n = (n - 1) / 26 {
		b = append([]byte{byte('A' + (n-1)%26)}, b...)
	}
	return string(b)
}

func Texts(row *Row) []string {
	all := make([]string, len(row.Cells))
	for i, c := range row.Cells {
		all[i] = c.Text
	}
	return all
}
