// Package grid finds the columns of a mapping in a sheet, tells rows of sales from headings, totals and titles, and says what the colours
// and the word of a row mean.
package grid

import (
	"strings"

	"solander/fault"
	"solander/intake"
)

// Grid is one sheet of a table with the columns of its mapping found in it.
type Grid struct {
	Sheet    *intake.Sheet
	Own      intake.SheetMap        // how the mapping reads it
	Header   int                    // N of the row of headings; 0 = none
	First    int                    // N of the first row of sales
	Headings []string               // folded
	titles   []string               // as they stand
	Fields   map[intake.Field][]int // columns from 0
	Used     []intake.Field         // by column
	Outlet   string                 // of the sheet's rows that say none
	Grade    string
	Paper    string
	Month    intake.SheetMonth
	Fresh    []FreshColumn // columns with values that the mapping does not know
}

// MostHeader is how many rows from the top headings are looked for, when they do not stand where the mapping says.
const MostHeader = 60

// Of finds the mapping's columns in the sheets of a table. Sheets that the mapping does not know are told.
// Faults: Invalid when no sheet is mapped, or a heading is missing or not the only one.
func Of(t intake.Table, mapping intake.Mapping) (plans []Grid, told []intake.Finding, err error) {
	var l fault.List
	for i := range t.Sheets {
		s := &t.Sheets[i]
		m, found := sheetMap(mapping, s)
		switch {
		case !found && len(s.Rows) > 0:
			told = append(told, intake.Finding{Rule: "sheet.unread", Sheet: s.Name, What: "the sheet is not read: it is not in the mapping", Doubt: !s.Hidden})
			continue
		case !found || m.Skip:
			continue
		}
		p, err := planOf(m, s)
		if err != nil {
			l.Add(err)
			continue
		}
		plans = append(plans, p)
	}
	if err := l.Err(); err != nil {
		return nil, nil, err
	}
	if len(plans) == 0 {
		if err := lacks(mapping, t); err != nil {
			return nil, nil, err
		}
		return nil, nil, fault.New(fault.Invalid, "the mapping %s fits no sheet of the file", fault.Clip(mapping.Name)).At("%s", t.Name).
			ToMend("choose another mapping, or make one for this file").In("sheets")
	}
	return plans, told, nil
}

// lacks tells which headings the first sheet lacks of the mapping for every sheet; nil when there is none.
func lacks(m intake.Mapping, t intake.Table) error {
	for _, c := range m.Sheets {
		for i := range t.Sheets {
			if c.Sheet == "" && !c.Skip && len(t.Sheets[i].Rows) > 0 {
				_, err := planOf(c, &t.Sheets[i])
				return err
			}
		}
	}
	return nil
}

// sheetMap returns the mapping of a sheet: the one of its name, or the one for every sheet with its headings.
func sheetMap(m intake.Mapping, s *intake.Sheet) (intake.SheetMap, bool) {
	for _, c := range m.Sheets {
		if c.Sheet == s.Name && c.Sheet != "" {
			return c, true
		}
	}
	for _, c := range m.Sheets {
		if c.Sheet == "" {
			if _, err := planOf(c, s); err == nil && len(s.Rows) > 0 {
				return c, true
			}
			if s.Name == "" {
				return c, true // a text file has no other
			}
		}
	}
	return intake.SheetMap{}, false
}

func planOf(m intake.SheetMap, s *intake.Sheet) (Grid, error) {
	p := Grid{Sheet: s, Own: m, Header: m.Header, First: m.First, Fields: map[intake.Field][]int{}}
	if m.Header > 0 {
		row, ok := findHeader(m, s)
		if !ok {
			return p, missing(m, s)
		}
		if p.First != 0 {
			p.First += row.N - m.Header
		}
		p.Header, p.Headings = row.N, HeadingsOf(row)
		for _, c := range row.Cells {
			p.titles = append(p.titles, strings.TrimSpace(c.Text))
		}
	}
	if p.First == 0 {
		p.First = p.Header + 1
	}
	for _, c := range m.Columns {
		at, ok := p.Find(c)
		if !ok {
			if c.Field == intake.Unused {
				continue
			}
			return p, fault.New(fault.Invalid, "the heading %q is missing, or stands there twice", fault.Clip(c.Heading)).At("%s", SheetWords(s)).
				In("sheets").ToMend("choose another mapping, or say which column is the %s", c.Field.Long())
		}
		p.Use(at, c.Field)
	}
	return p, nil
}

func (p *Grid) Use(at int, f intake.Field) {
	for len(p.Used) <= at {
		p.Used = append(p.Used, intake.Unused)
	}
	if f != intake.Unused {
		p.Used[at] = f
		p.Fields[f] = append(p.Fields[f], at)
	}
}

func SheetWords(s *intake.Sheet) string {
	if s.Name == "" {
		return "the file"
	}
	return "sheet " + s.Name
}

// HeadingsOf returns the headings of a row as they are compared, by column.
func HeadingsOf(r intake.Row) []string {
	var all []string
	for _, c := range r.Cells {
		h := ""
		if !c.Merged {
			h = intake.Fold(c.Text)
		}
		all = append(all, h)
	}
	return all
}

// Find returns where a column of the mapping stands.
func (p *Grid) Find(c intake.Column) (int, bool) {
	want := intake.Fold(c.Heading)
	if want == "" || p.Header == 0 {
		return c.Column, true
	}
	at, count := -1, 0
	for i, h := range p.Headings {
		if h == want {
			if count++; at < 0 || i == c.Column {
				at = i
			}
		}
	}
	return at, count == 1 || count > 1 && at == c.Column
}

// findHeader returns the row of the headings: the one that the mapping says, or the first further up or down that has all of them.
func findHeader(m intake.SheetMap, s *intake.Sheet) (intake.Row, bool) {
	for i, r := range s.Rows {
		if r.N == m.Header && Headed(m, r) == Needed(m) {
			return r, true
		}
		if i >= MostHeader && r.N > m.Header {
			break
		}
	}
	for i, r := range s.Rows {
		if i >= MostHeader {
			break
		}
		if Headed(m, r) == Needed(m) {
			return r, true
		}
	}
	return intake.Row{}, false
}

// Needed counts the headings without which the sheet cannot be read.
func Needed(m intake.SheetMap) int {
	n := 0
	for _, c := range m.Columns {
		if c.Field != intake.Unused && intake.Fold(c.Heading) != "" {
			n++
		}
	}
	return n
}

// Headed counts which of them a row has.
func Headed(m intake.SheetMap, r intake.Row) int {
	has := map[string]bool{}
	for _, h := range HeadingsOf(r) {
		has[h] = true
	}
	n := 0
	for _, c := range m.Columns {
		if c.Field != intake.Unused && intake.Fold(c.Heading) != "" && has[intake.Fold(c.Heading)] {
			n++
		}
	}
	return n
}

// missing tells which headings the row that comes nearest lacks.
func missing(m intake.SheetMap, s *intake.Sheet) error {
	best, most := intake.Row{}, -1
	for i, r := range s.Rows {
		if i >= MostHeader {
			break
		}
		if n := Headed(m, r); n > most {
			best, most = r, n
		}
	}
	has := map[string]bool{}
	for _, h := range HeadingsOf(best) {
		has[h] = true
	}
	var lost []string
	for _, c := range m.Columns {
		if c.Field != intake.Unused && intake.Fold(c.Heading) != "" && !has[intake.Fold(c.Heading)] {
			lost = append(lost, fault.Clip(c.Heading))
		}
	}
	return fault.New(fault.Invalid, "headings are missing: %s", strings.Join(lost, ", ")).At("%s", SheetWords(s)).In("sheets").
		ToMend("choose another mapping, or make one for this file")
}

// Cell returns the first cell of a field in a row, with its column; -1 when the mapping has none.
func (p *Grid) Cell(r *intake.Row, f intake.Field) (intake.Cell, int) {
	at := p.Fields[f]
	if len(at) == 0 {
		return intake.Cell{}, -1
	}
	return r.At(at[0]), at[0]
}

// Text joins the texts of all columns of a field.
func (p *Grid) Text(r *intake.Row, f intake.Field, sep string) string {
	var parts []string
	for _, at := range p.Fields[f] {
		if s := strings.TrimSpace(r.At(at).Text); s != "" {
			parts = append(parts, s)
		}
	}
	return strings.Join(parts, sep)
}

// Heading returns a column's heading as it stands in the file.
func (p *Grid) Heading(column int) string {
	if column < 0 || column >= len(p.titles) {
		return ""
	}
	return p.titles[column]
}

// Name is a column's heading, or its letters.
func (p *Grid) Name(column int) string {
	if h := p.Heading(column); h != "" {
		return fault.Clip(h)
	}
	return intake.Letters(column)
}
