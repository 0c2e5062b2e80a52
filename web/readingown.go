package web

import (
	"solander/intake"
)

// ownOf returns the fields of askOwn; open says that one of them says something.
func ownOf(fm *form, at string) (own []*field, open bool) {
	own = fm.Fields(at + "own.")
	for _, fd := range own {
		open = open || fd.Value != ""
	}
	return own, open
}

// askOwn asks what holds for all rows of a sheet that say nothing of it.
func askOwn(fm *form, at string, m intake.SheetMap) {
	at += "own."
	named := []choice{{"", "nothing of its rows"}}
	for _, n := range intake.Names() {
		named = append(named, choice{string(n), map[intake.Named]string{
			intake.NamedOutlet: "where they were sold", intake.NamedMonth: "the month of days that stand alone", intake.NamedGrade: "their grade", intake.NamedPaper: "their paper",
		}[n]})
	}
	if m.Sheet != "" {
		fm.ask(at+"named", "The sheet’s name says").is(string(m.Named)).of(named...)
	}
	fm.ask(at+"outlet", "Outlet of its rows").is(m.Outlet).hint("where the row names none")
	fm.ask(at+"grade", "Grade of its prints").is(m.Grade).hint("where the row names none")
	fm.ask(at+"paper", "Paper of its prints").is(m.Paper).hint("where the row names none")
	fm.ask(at+"month", "Month or year of its days").is(m.Month).hint("like 2025-05; 2025 alone is the year of days without one")
}

func readOwn(m *intake.SheetMap, at string, fm *form) {
	at += "own."
	if fm.find(at+"named") != nil {
		m.Named = intake.Named(typedOf(fm, at+"named"))
	}
	m.Outlet, m.Grade, m.Paper, m.Month = typedOf(fm, at+"outlet"), typedOf(fm, at+"grade"), typedOf(fm, at+"paper"), typedOf(fm, at+"month")
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
