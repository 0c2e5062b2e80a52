package intake

import (
	"fmt"

	"solander/fault"
	"solander/order"
)

// validateSheets checks the sheets of a mapping and their columns.
func (m Mapping) validateSheets() error {
	var l fault.List
	l.Check(len(m.Sheets) > 0, "sheets", "no sheet is mapped", "map at least one sheet")
	l.Check(len(m.Sheets) <= mostMapSheets, "sheets", "too many sheets are mapped", fmt.Sprintf("map up to %d", mostMapSheets))
	if len(m.Sheets) > mostMapSheets {
		return l.Err()
	}
	seen := map[string]bool{}
	for i, s := range m.Sheets {
		at := fmt.Sprintf("sheets[%d]", i)
		l.Check(!seen[s.Sheet], at+".sheet", "the sheet is mapped twice", "map each sheet once")
		seen[s.Sheet] = true
		l.Add(s.validate(at))
	}
	return l.Err()
}

func (s SheetMap) validate(at string) error {
	var l fault.List
	l.Add(order.Text(at+".sheet", s.Sheet, 80, false))
	l.Check(s.Header >= 0 && s.Header <= mostRows, at+".header", "the row of the headings is out of range", "count rows from 1; 0 is none")
	l.Check(s.First >= 0 && s.First <= mostRows, at+".first", "the first row is out of range", "count rows from 1; 0 is the one after the headings")
	l.Check(s.First == 0 || s.First > s.Header, at+".first", "the first row of sales is not below the headings", "begin below the headings")
	l.Add(s.validateOwn(at))
	l.Check(len(s.Columns) <= MostMapColumns, at+".columns", "too many columns are mapped", fmt.Sprintf("map up to %d", MostMapColumns))
	if s.Skip || len(s.Columns) > MostMapColumns {
		return l.Err()
	}
	columns, single := map[int]bool{}, map[Field]bool{}
	for i, c := range s.Columns {
		in := fmt.Sprintf("%s.columns[%d]", at, i)
		l.Check(c.Column >= 0 && c.Column < mostColumns, in+".column", "the column is out of range", "count columns from 0")
		l.Check(!columns[c.Column], in+".column", fmt.Sprintf("column %s is mapped twice", Letters(c.Column)), "map each column once")
		l.Check(len(c.Heading) <= MostHeading, in+".heading", "the heading is too long", fmt.Sprintf("use up to %d bytes", MostHeading))
		l.Check(c.Field.Long() != "", in+".field", fmt.Sprintf("%q is not a field", fault.Clip(string(c.Field))), "use one of the fields of docs/formats/mapping.md")
		l.Check(c.Field.Many() || !single[c.Field], in+".field", fmt.Sprintf("two columns are the %s", c.Field.Long()), "choose one of them")
		columns[c.Column], single[c.Field] = true, true
	}
	return l.Err()
}

// Bounds of a table, as the readers keep them, too.
const (
	mostRows    = 1 << 20 // of a sheet: what spreadsheet programs can hold
	mostColumns = 16384
	MostHeading = 2000
)

// validateMeanings checks what colours and words mean.
func (m Mapping) validateMeanings() error {
	var l fault.List
	l.Check(len(m.Fills) <= MostMapWords, "fills", "too many colours", fmt.Sprintf("name up to %d", MostMapWords))
	l.Check(len(m.Words) <= MostMapWords, "words", "too many words", fmt.Sprintf("name up to %d", MostMapWords))
	if l.Err() != nil {
		return l.Err()
	}
	l.Check(m.NoFill == "" || m.NoFill.Long() != "", "no_fill", "the meaning is unknown", meaningsMend)
	l.Check(m.NoWord == "" || m.NoWord.Long() != "", "no_word", "the meaning is unknown", meaningsMend)
	fills := map[Fill]bool{}
	for i, f := range m.Fills {
		at := fmt.Sprintf("fills[%d]", i)
		l.Check(!f.Fill.IsZero(), at+".fill", "the colour is missing", "write it like #C6EFCE")
		l.Check(!fills[f.Fill], at+".fill", "the colour is named twice", "name each colour once")
		l.Check(f.Means.Long() != "", at+".means", "the meaning is unknown", meaningsMend)
		fills[f.Fill] = true
	}
	words := map[string]bool{}
	for i, w := range m.Words {
		at := fmt.Sprintf("words[%d]", i)
		l.Check(WordKey(w.Text) != "", at+".text", "the word is missing", "write the word as it stands in the column")
		l.Check(len(w.Text) <= MostHeading, at+".text", "the word is too long", fmt.Sprintf("use up to %d bytes", MostHeading))
		l.Check(!words[WordKey(w.Text)], at+".text", "the word is named twice", "name each word once")
		l.Check(w.Means.Long() != "", at+".means", "the meaning is unknown", meaningsMend)
		words[WordKey(w.Text)] = true
	}
	return l.Err()
}

const meaningsMend = "use nothing, waiting, paid, sent, cancelled, returned or ignore"

// validateOwn checks what a sheet says of all its rows.
func (s SheetMap) validateOwn(at string) error {
	var l fault.List
	l.Check(s.Named == "" || s.Named == NamedOutlet || s.Named == NamedGrade || s.Named == NamedPaper || s.Named == NamedMonth, at+".named", "what the sheet is named after is unknown", "write outlet, month, grade or paper")
	l.Add(order.Text(at+".outlet", s.Outlet, 80, false))
	l.Add(order.Text(at+".grade", s.Grade, 40, false))
	l.Add(order.Text(at+".paper", s.Paper, 80, false))
	_, ok := MonthIn(s.Month)
	l.Check(s.Month == "" || ok, at+".month", "the month is not understood", "write it like 2025-05, or 05")
	return l.Err()
}
