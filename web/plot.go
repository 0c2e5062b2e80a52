package web

import (
	"fmt"
	"slices"

	"solander/money"
	"solander/studio"
)

// plot is bars of money round a line of nothing, as SVG: a bar up saves, a bar down costs more.
type plot struct {
	Label        string // says what it shows; the table beside it has every number
	Width        int
	Height       int
	Zero         int // height of the line of nothing, from the top
	Bars         []plotBar
	Most, Least  string // the ends of the scale; "" = none on that side
	First, Final string // what the first and the last bar stand for
}

// plotBar is one bar.
type plotBar struct {
	X, Y, W, H int
	Up         bool
}

// Sizes of a plot, in its own units, which are pixels where the page is wide enough.
const (
	plotWide  = 900
	plotTall  = 200
	plotEdge  = 24 // above and below, for the words
	mostBars  = 60 // more sendings are shown by month
	widestBar = 40
)

// point is one value of a plot.
type point struct {
	name  string
	value int64
}

// plotOf plots what each sending saves, or when they are many each month; nil when nothing compares or
// nothing differs.
func plotOf(a studio.WhatIf) (p *plot, months bool) {
	var points []point
	for _, r := range a.Rows {
		if r.Compared() {
			points = append(points, point{r.Order + ", " + r.Day.Short(), r.Saves.Minor})
		}
	}
	if months = len(points) > mostBars; months {
		points = nil
		for _, m := range a.Months {
			points = append(points, point{m.Month, m.Saves.Minor})
		}
	}
	if !slices.ContainsFunc(points, func(x point) bool { return x.value != 0 }) {
		return nil, months
	}
	what := "sending"
	if months {
		what = "month"
	}
	p = bars(points, a.Saves.Currency)
	p.Label = fmt.Sprintf("What each %s saves, up, or costs more, down: %s, in all %s. The table below has every number.", what, many(len(points), what), a.Saves)
	return p, months
}

// bars scales the values into the height, the line of nothing where it must be.
func bars(points []point, currency string) *plot {
	var high, low int64
	for _, x := range points {
		high, low = max(high, x.value), min(low, x.value)
	}
	span := max(1, high-low)
	scale := func(v int64) int { return int(v * plotTall / span) }
	p := &plot{Width: plotWide, Height: plotTall + 2*plotEdge, Zero: plotEdge + scale(high), First: points[0].name, Final: points[len(points)-1].name}
	if high > 0 {
		p.Most = "saves " + money.Of(high, currency).String()
	}
	if low < 0 {
		p.Least = "costs " + money.Of(-low, currency).String() + " more"
	}
	step := min(plotWide/len(points), widestBar)
	for i, x := range points {
		b := plotBar{X: i*step + step/8, W: max(1, step*3/4), Up: x.value >= 0}
		if b.H = scale(max(x.value, -x.value)); x.value != 0 {
			b.H = max(1, b.H)
		}
		b.Y = p.Zero
		if b.Up {
			b.Y -= b.H
		}
		p.Bars = append(p.Bars, b)
	}
	return p
}

// Foot is where the words below the plot stand.
func (p *plot) Foot() int { return p.Height - 6 }
