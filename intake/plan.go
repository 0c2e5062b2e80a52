package intake

import (
	"strings"

	"solander/fault"
)

// plan is one sheet of a table with the columns of its mapping found in it.
type plan struct {
	sheet    *Sheet
	own      SheetMap        // how the mapping reads it
	header   int             // N of the row of headings; 0 = none
	first    int             // N of the first row of sales
	headings []string        // folded
	titles   []string        // as they stand
	fields   map[Field][]int // columns from 0
	used     []Field         // by column
	outlet   string          // of the sheet's rows that say none
	grade    string
	paper    string
	month    sheetMonth
	fresh    []freshColumn // columns with values that the mapping does not know
}

// mostHeader is how many rows from the top headings are looked for, when they do not stand where the mapping says.
const mostHeader = 60

// plansOf finds the mapping's columns in the sheets of a table. Sheets that the mapping does not know are told.
// Faults: Invalid when no sheet is mapped, or a heading is missing or not the only one.
func plansOf(t Table, mapping Mapping) (plans []plan, told []Finding, err error) {
	var l fault.List
	for i := range t.Sheets {
		s := &t.Sheets[i]
		m, found := sheetMap(mapping, s)
		switch {
		case !found && len(s.Rows) > 0:
			told = append(told, Finding{Rule: "sheet.unread", Sheet: s.Name, What: "the sheet is not read: it is not in the mapping", Doubt: !s.Hidden})
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
func lacks(m Mapping, t Table) error {
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
func sheetMap(m Mapping, s *Sheet) (SheetMap, bool) {
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
	return SheetMap{}, false
}

func planOf(m SheetMap, s *Sheet) (plan, error) {
	p := plan{sheet: s, own: m, header: m.Header, first: m.First, fields: map[Field][]int{}}
	if m.Header > 0 {
		row, ok := findHeader(m, s)
		if !ok {
			return p, missing(m, s)
		}
		if p.first != 0 {
			p.first += row.N - m.Header
		}
		p.header, p.headings = row.N, headingsOf(row)
		for _, c := range row.Cells {
			p.titles = append(p.titles, strings.TrimSpace(c.Text))
		}
	}
	if p.first == 0 {
		p.first = p.header + 1
	}
	for _, c := range m.Columns {
		at, ok := p.find(c)
		if !ok {
			if c.Field == Unused {
				continue
			}
			return p, fault.New(fault.Invalid, "the heading %q is missing, or stands there twice", fault.Clip(c.Heading)).At("%s", sheetWords(s)).
				In("sheets").ToMend("choose another mapping, or say which column is the %s", c.Field.Long())
		}
		p.use(at, c.Field)
	}
	return p, nil
}

func (p *plan) use(at int, f Field) {
	for len(p.used) <= at {
		p.used = append(p.used, Unused)
	}
	if f != Unused {
		p.used[at] = f
		p.fields[f] = append(p.fields[f], at)
	}
}

func sheetWords(s *Sheet) string {
	if s.Name == "" {
		return "the file"
	}
	return "sheet " + s.Name
}

// headingsOf returns the headings of a row as they are compared, by column.
func headingsOf(r Row) []string {
	var all []string
	for _, c := range r.Cells {
		h := ""
		if !c.Merged {
			h = Fold(c.Text)
		}
		all = append(all, h)
	}
	return all
}

// find returns where a column of the mapping stands.
func (p *plan) find(c Column) (int, bool) {
	want := Fold(c.Heading)
	if want == "" || p.header == 0 {
		return c.Column, true
	}
	at, count := -1, 0
	for i, h := range p.headings {
		if h == want {
			if count++; at < 0 || i == c.Column {
				at = i
			}
		}
	}
	return at, count == 1 || count > 1 && at == c.Column
}

// findHeader returns the row of the headings: the one that the mapping says, or the first further up or down that has all of them.
func findHeader(m SheetMap, s *Sheet) (Row, bool) {
	for i, r := range s.Rows {
		if r.N == m.Header && headed(m, r) == needed(m) {
			return r, true
		}
		if i >= mostHeader && r.N > m.Header {
			break
		}
	}
	for i, r := range s.Rows {
		if i >= mostHeader {
			break
		}
		if headed(m, r) == needed(m) {
			return r, true
		}
	}
	return Row{}, false
}

// needed counts the headings without which the sheet cannot be read.
func needed(m SheetMap) int {
	n := 0
	for _, c := range m.Columns {
		if c.Field != Unused && Fold(c.Heading) != "" {
			n++
		}
	}
	return n
}

// headed counts which of them a row has.
func headed(m SheetMap, r Row) int {
	has := map[string]bool{}
	for _, h := range headingsOf(r) {
		has[h] = true
	}
	n := 0
	for _, c := range m.Columns {
		if c.Field != Unused && Fold(c.Heading) != "" && has[Fold(c.Heading)] {
			n++
		}
	}
	return n
}

// missing tells which headings the row that comes nearest lacks.
func missing(m SheetMap, s *Sheet) error {
	best, most := Row{}, -1
	for i, r := range s.Rows {
		if i >= mostHeader {
			break
		}
		if n := headed(m, r); n > most {
			best, most = r, n
		}
	}
	has := map[string]bool{}
	for _, h := range headingsOf(best) {
		has[h] = true
	}
	var lost []string
	for _, c := range m.Columns {
		if c.Field != Unused && Fold(c.Heading) != "" && !has[Fold(c.Heading)] {
			lost = append(lost, fault.Clip(c.Heading))
		}
	}
	return fault.New(fault.Invalid, "headings are missing: %s", strings.Join(lost, ", ")).At("%s", sheetWords(s)).In("sheets").
		ToMend("choose another mapping, or make one for this file")
}

// cell returns the first cell of a field in a row, with its column; -1 when the mapping has none.
func (p *plan) cell(r *Row, f Field) (Cell, int) {
	at := p.fields[f]
	if len(at) == 0 {
		return Cell{}, -1
	}
	return r.At(at[0]), at[0]
}

// text joins the texts of all columns of a field.
func (p *plan) text(r *Row, f Field, sep string) string {
	var parts []string
	for _, at := range p.fields[f] {
		if s := strings.TrimSpace(r.At(at).Text); s != "" {
			parts = append(parts, s)
		}
	}
	return strings.Join(parts, sep)
}

// heading returns a column's heading as it stands in the file.
func (p *plan) heading(column int) string {
	if column < 0 || column >= len(p.titles) {
		return ""
	}
	return p.titles[column]
}

// name is a column's heading, or its letters.
func (p *plan) name(column int) string {
	if h := p.heading(column); h != "" {
		return fault.Clip(h)
	}
	return Letters(column)
}
