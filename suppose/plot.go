package suppose

import (
	"fmt"

	"solander/fault"
	"solander/papers"
)

// mostBars is how many sendings are plotted one by one; more are shown by month.
const mostBars = 60

// Plot plots what each sending costs as the studio is and with the change, or when they are many each month; nil when nothing
// compares or nothing differs.
func (w WhatIf) Plot() (p *papers.Plot, months bool) {
	var points, byMonth []papers.PlotPoint
	for _, r := range w.Rows {
		if !r.Compared() {
			continue
		}
		x := papers.PlotPoint{Name: r.Order + ", " + r.Day.Short(), Before: r.Without.Minor, After: r.With.Minor}
		points = append(points, x)
		if x.Name = monthOf(r.Day); len(byMonth) == 0 || byMonth[len(byMonth)-1].Name != x.Name {
			byMonth = append(byMonth, x)
			continue
		}
		m := &byMonth[len(byMonth)-1]
		m.Before, m.After = m.Before+x.Before, m.After+x.After
	}
	what := "sending"
	if months = len(points) > mostBars; months {
		what, points = "month", byMonth
	}
	if p = papers.PlotOf(points, w.Saves.Currency); p != nil {
		p.Label = fmt.Sprintf("What each %s costs as the studio is, and with the change: %s; in all it saves %s. The table has every number.", what, fault.Count(len(points), what), w.Saves)
	}
	return p, months
}
