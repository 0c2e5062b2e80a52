package intake

import "fmt"

// names guesses what the sheets that hold sales are named after: the month of days that stand alone; the outlet, when several sheets have
// telling names and no column names the outlet.
func (g *Guess) names(t Table) {
	var telling []int
	for i := range g.Mapping.Sheets {
		m := &g.Mapping.Sheets[i]
		if m.Skip {
			continue
		}
		month, is := monthIn(m.Sheet)
		switch {
		case is && month.month != 0 && daysAlone(*m, &t.Sheets[i]):
			m.Named = NamedMonth
			g.Reasons = append(g.Reasons, Reason{Sheet: m.Sheet, Column: -1, Part: "named", Value: string(NamedMonth), Why: "the days of the sheet have no month, and its name is one", Sure: Likely})
		case !is && !plainName(m.Sheet) && !has(*m, Outlet):
			telling = append(telling, i)
		}
	}
	if len(telling) < 2 {
		return
	}
	for _, i := range telling {
		m := &g.Mapping.Sheets[i]
		m.Named = NamedOutlet
		g.Reasons = append(g.Reasons, Reason{
			Sheet: m.Sheet, Column: -1, Part: "named", Value: string(NamedOutlet), Sure: Likely,
			Why: fmt.Sprintf("%d sheets hold sales, have names of their own, and no column that names the outlet", len(telling)),
		})
	}
}

func has(m SheetMap, f Field) bool {
	for _, c := range m.Columns {
		if c.Field == f {
			return true
		}
	}
	return false
}

// daysAlone reports a column of days of which most stand alone.
func daysAlone(m SheetMap, s *Sheet) bool {
	for _, c := range m.Columns {
		if c.Field == SoldOn {
			v := sampleOf(s, m.Header, c.Column)
			return v.most(v.alone)
		}
	}
	return false
}
