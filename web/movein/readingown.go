package movein

import (
	"solander/intake"
	"solander/web/form"
)

// ownOf returns the fields of askOwn; open says that one of them says something.
func ownOf(fm *form.Form, at string) (own []*form.Field, open bool) {
	own = fm.Fields(at + "own.")
	for _, fd := range own {
		open = open || fd.Value != ""
	}
	return own, open
}

// askOwn asks what holds for all rows of a sheet that say nothing of it.
func askOwn(fm *form.Form, at string, m *intake.SheetMap) {
	at += "own."
	named := []form.Choice{form.Pick("", "nothing of its rows")}
	for _, n := range intake.Names() {
		named = append(named, form.Pick(string(n), map[intake.Named]string{
			intake.NamedOutlet: "where they were sold", intake.NamedMonth: "the month of days that stand alone", intake.NamedGrade: "their grade", intake.NamedPaper: "their paper",
		}[n]))
	}
	if m.Sheet != "" {
		form.Select(fm, at+"named", "The sheet’s name says", &m.Named, named...)
	}
	fm.Text(at+"outlet", "Outlet of its rows", &m.Outlet).WithHint("where the row names none")
	fm.Text(at+"grade", "Grade of its prints", &m.Grade).WithHint("where the row names none")
	fm.Text(at+"paper", "Paper of its prints", &m.Paper).WithHint("where the row names none")
	fm.Text(at+"month", "Month or year of its days", &m.Month).WithHint("like 2025-05; 2025 alone is the year of days without one")
}

// withGuess adds to a saved reading what the guess takes new columns for, so that the page asks about them with an offer.
func withGuess(m intake.Mapping, g intake.Mapping) intake.Mapping {
	out := m
	out.Sheets = nil
	for _, s := range m.Sheets {
		out.Sheets = append(out.Sheets, sheetWithGuess(s, g))
	}
	return out
}

func sheetWithGuess(s intake.SheetMap, g intake.Mapping) intake.SheetMap {
	known, used := map[int]bool{}, map[intake.Field]bool{}
	for _, c := range s.Columns {
		known[c.Column], used[c.Field] = true, true
	}
	for _, o := range g.Sheets {
		if o.Sheet != s.Sheet || o.Header != s.Header || s.Skip {
			continue
		}
		columns := append([]intake.Column(nil), s.Columns...)
		for _, c := range o.Columns {
			if !known[c.Column] && c.Field != intake.Unused && !used[c.Field] {
				columns = append(columns, c)
			}
		}
		s.Columns = columns
	}
	return s
}
