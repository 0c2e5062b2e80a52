package suppose

import (
	"fmt"

	"solander/fault"
	"solander/papers"
)

// mostBars is how many sendings are plotted one by one; more are shown by month.
const mostBars = 60

// Plot plots what each sending saves, or when they are many each month; nil when nothing compares or nothing
// differs.
func (w WhatIf) Plot() (p *papers.Plot, months bool) {
	var points []papers.PlotPoint
	for _, r := range w.Rows {
		if r.Compared() {
			points = append(points, papers.PlotPoint{Name: r.Order + ", " + r.Day.Short(), Value: r.Saves.Minor})
		}
	}
	what := "sending"
	if months = len(points) > mostBars; months {
		what, points = "month", nil
		for _, m := range w.Months {
			points = append(points, papers.PlotPoint{Name: m.Month, Value: m.Saves.Minor})
		}
	}
	if p = papers.PlotOf(points, w.Saves.Currency); p != nil {
		p.Label = fmt.Sprintf("What each %s saves, up, or costs more, down: %s, in all %s. The table has every number.", what, fault.Count(len(points), what), w.Saves)
	}
	return p, months
}
