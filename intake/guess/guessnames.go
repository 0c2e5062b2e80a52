package guess

import (
	"fmt"

	"solander/intake"
)

// names guesses what the sheets that hold sales are named after: the month of days that stand alone; the outlet, when several sheets have
// telling names and no column names the outlet.
func (g *Guess) names(t intake.Table) {
	var telling []int
	for i := range g.Mapping.Sheets {
		m := &g.Mapping.Sheets[i]
		if m.Skip {
			continue
		}
		month, is := intake.MonthIn(m.Sheet)
		switch {
		case is && month.Month != 0 && daysAlone(*m, &t.Sheets[i]):
			m.Named = intake.NamedMonth
			g.Reasons = append(g.Reasons, Reason{Sheet: m.Sheet, Column: -1, Part: "named", Value: string(intake.NamedMonth), Why: "the days of the sheet have no month, and its name is one", Sure: intake.Likely})
		case !is && !intake.PlainName(m.Sheet) && !has(*m, intake.Outlet):
			telling = append(telling, i)
		}
	}
	if len(telling) < 2 {
		return
	}
	for _, i := range telling {
		m := &g.Mapping.Sheets[i]
		m.Named = intake.NamedOutlet
		g.Reasons = append(g.Reasons, Reason{
			Sheet: m.Sheet, Column: -1, Part: "named", Value: string(intake.NamedOutlet), Sure: intake.Likely,
			Why: fmt.Sprintf("%d sheets hold sales, have names of their own, and no column that names the outlet", len(telling)),
		})
	}
}

func has(m intake.SheetMap, f intake.Field) bool {
	for _, c := range m.Columns {
		if c.Field == f {
			return true
		}
	}
	return false
}

// daysAlone reports a column of days of which most stand alone.
func daysAlone(m intake.SheetMap, s *intake.Sheet) bool {
	for _, c := range m.Columns {
		if c.Field == intake.SoldOn {
			v := sampleOf(s, m.Header, c.Column)
			return v.most(v.alone)
		}
	}
	return false
}
