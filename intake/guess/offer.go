package guess

import (
	"cmp"
	"slices"
	"strings"

	"solander/intake"
	"solander/intake/grid"
)

// Match is a saved mapping that fits a table.
type Match struct {
	Mapping intake.Mapping `json:"mapping"` // fitted to the table: its sheets and columns as the table has them
	Found   int            `json:"found"`   // headings found again
	Of      int            `json:"of"`      // headings that the mapping uses
	New     []string       `json:"new"`     // headings of columns with values that the mapping does not know: they are asked about
	Whole   bool           `json:"whole"`   // all headings were found: the mapping can be used, once it is said what the new ones are
}

// Offer returns the saved mappings that fit a table, the best first: those of which at least half of the headings in use are found
// on one sheet. Mappings without headings fit nothing by themselves.
func Offer(t intake.Table, saved []intake.Mapping) []Match {
	var all []Match
	for _, m := range saved {
		if f, ok := fit(m, t); ok {
			all = append(all, f)
		}
	}
	slices.SortStableFunc(all, func(a, b Match) int {
		return cmp.Or(cmp.Compare(b.Found*max(a.Of, 1), a.Found*max(b.Of, 1)), cmp.Compare(b.Found, a.Found), cmp.Compare(len(a.New), len(b.New)))
	})
	return all
}

// fit fits each mapped sheet to the sheet of the table that has its name, or else the most of its headings.
func fit(m intake.Mapping, t intake.Table) (Match, bool) {
	f := Match{Mapping: m, New: []string{}}
	f.Mapping.Sheets = nil
	used := map[int]bool{}
	for _, s := range m.Sheets {
		if s.Skip {
			f.Mapping.Sheets = append(f.Mapping.Sheets, s)
			continue
		}
		at, row := best(s, t, used)
		f.Of += grid.Needed(s)
		if at < 0 {
			continue
		}
		used[at] = true
		f.Found += grid.Headed(s, row)
		f.Mapping.Sheets = append(f.Mapping.Sheets, fitted(s, &t.Sheets[at], row, &f.New))
	}
	f.Whole = f.Found == f.Of && f.Of > 0
	return f, f.Found > 0 && f.Found*2 >= f.Of
}

// best returns the sheet with the most of the headings, and the row that has them; -1 when none has half of them.
func best(m intake.SheetMap, t intake.Table, used map[int]bool) (int, intake.Row) {
	at, most, head := -1, 0, intake.Row{}
	for i := range t.Sheets {
		if used[i] {
			continue
		}
		for j, r := range t.Sheets[i].Rows {
			if j >= grid.MostHeader {
				break
			}
			n := grid.Headed(m, r)*2 + intake.One(t.Sheets[i].Name == m.Sheet)
			if n > most && grid.Headed(m, r)*2 >= grid.Needed(m) && grid.Headed(m, r) > 0 {
				at, most, head = i, n, r
			}
		}
	}
	return at, head
}

// fitted returns the sheet's mapping with the places of a row of headings. Columns whose heading is gone are left out.
func fitted(m intake.SheetMap, s *intake.Sheet, head intake.Row, fresh *[]string) intake.SheetMap {
	out := intake.SheetMap{Sheet: s.Name, Header: head.N}
	if m.First > 0 {
		out.First = m.First - m.Header + head.N
	}
	p := grid.Grid{Header: head.N, Headings: grid.HeadingsOf(head)}
	out.Named, out.Outlet, out.Grade, out.Paper, out.Month = m.Named, m.Outlet, m.Grade, m.Paper, m.Month
	for _, c := range m.Columns {
		if at, ok := p.Find(c); ok && intake.Fold(c.Heading) != "" {
			c.Column = at
			out.Columns = append(out.Columns, c)
		}
	}
	*fresh = append(*fresh, newHeadings(m, s, head)...)
	return out
}

// newHeadings tells the headings of the columns of a row of headings that a mapping does not know.
func newHeadings(m intake.SheetMap, s *intake.Sheet, head intake.Row) []string {
	p := grid.Grid{Header: head.N, Headings: grid.HeadingsOf(head)}
	known := map[int]bool{}
	for _, c := range m.Columns {
		if at, ok := p.Find(c); ok {
			known[at] = true
		}
	}
	var all []string
	for _, at := range grid.FreshOf(s, head.N, p.Headings, func(i int) bool { return known[i] }) {
		all = append(all, strings.TrimSpace(intake.Clean(head.Cells[at].Text)))
	}
	return all
}
