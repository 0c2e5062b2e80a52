package guess

import (
	"fmt"

	"solander/intake"
	"solander/intake/grid"
)

// guessHeader finds the row of the headings: among the first rows the one with the most words that are headings.
func guessHeader(s *intake.Sheet) (intake.Row, int) {
	known := map[string]bool{}
	for _, v := range headingWords {
		known[intake.Fold(v.field.Long())] = true
		for _, w := range v.words {
			known[w] = true
		}
	}
	best, most := intake.Row{}, 0
	for i, r := range s.Rows {
		if i >= grid.MostHeader {
			break
		}
		n := 0
		for _, c := range r.Cells {
			n += intake.One(c.Kind == intake.Words && !c.Merged && known[headingWord(c.Text)])
		}
		if n > most {
			best, most = r, n
		}
	}
	if most < 2 {
		return intake.Row{}, 0
	}
	return best, most
}

// guessSheet guesses one sheet; a sheet whose columns cannot be sales is skipped.
func guessSheet(s *intake.Sheet) (intake.SheetMap, []Reason) {
	header, n := guessHeader(s)
	m := intake.SheetMap{Sheet: s.Name, Header: header.N}
	if s.Hidden {
		return intake.SheetMap{Sheet: s.Name, Skip: true}, []Reason{{Sheet: s.Name, Column: -1, Part: "skip", Value: "true", Why: "the sheet is hidden", Sure: intake.Likely}}
	}
	columns, reasons := GuessColumns(s, header, header.N)
	has := map[intake.Field]bool{}
	for _, c := range columns {
		has[c.Field] = true
	}
	print, person := has[intake.Title] || has[intake.Numbers], has[intake.Buyer] || has[intake.LastName] || has[intake.Email] || has[intake.SoldOn] || has[intake.Ref] || has[intake.Price]
	if !print || !person {
		m.Skip, m.Header = true, 0
		return m, []Reason{{Sheet: s.Name, Column: -1, Part: "skip", Value: "true", Why: "no columns were found that say what was sold, and to whom or when", Sure: intake.Likely}}
	}
	m.Columns = columns
	why := Reason{Sheet: s.Name, Column: -1, Part: "header", Value: fmt.Sprint(header.N), Sure: intake.Plain, Why: fmt.Sprintf("row %d has %d words that are usual headings", header.N, n)}
	if header.N == 0 {
		why.Why, why.Sure = "no row has words that are usual headings", intake.Doubtful
	}
	return m, append([]Reason{why}, reasons...)
}
