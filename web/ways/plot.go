package ways

import (
	"fmt"
	"slices"

	"solander/calendar"
	"solander/choosing"
	"solander/packing/front"
)

// Plot is the front drawn: days across, money up. It is small, so that it can be read on a telephone.
type Plot struct {
	Width, Height, Base int
	Dots                []dot
	Days                []tick
	Top, Foot           string // the dearest and the cheapest
	TopY, FootY         int
	Label               string
}

// dot is one way. Round is soft packaging, Cornered stiff, else it is a carton or a tube; Full is covered for its worth.
type dot struct {
	X, Y            int
	N               int
	Round, Cornered bool
	Full            bool
	Points          string // of a lozenge
}

type tick struct {
	X    int
	Text string
}

// Left is the left side of a box.
func (d dot) Left() int { return d.X - dotSize }

// Above is the upper side of a box.
func (d dot) Above() int { return d.Y - dotSize }

// Beside is where its number stands.
func (d dot) Beside() int { return d.X + dotSize + 4 }

// Side is that of a box.
func (d dot) Side() int { return 2 * dotSize }

// Under is the foot of its number.
func (d dot) Under() int { return d.Y + 5 }

const (
	plotWidth, plotHeight = 360, 230
	plotLeft, plotRight   = 84, 330
	plotTop, plotBase     = 22, 190
	dotSize               = 5
	numberRoom            = 30 // beside the last dot
	apart                 = 18 // of two numbers
	mostTicks             = 4
	dayFoot               = plotBase + 22
	labelOfNoDay          = "?"
)

// plotOf draws choices; nil when there is only one way.
func plotOf(c choosing.Choices) *Plot {
	if len(c.Ways) < 2 {
		return nil
	}
	var days []calendar.Day
	for _, w := range c.Ways {
		if !slices.Contains(days, w.Arrives) {
			days = append(days, w.Arrives)
		}
	}
	slices.SortFunc(days, func(a, b calendar.Day) int {
		switch {
		case a.IsZero():
			return 1
		case b.IsZero():
			return -1
		}
		return a.Sub(b)
	})
	low, high := c.Ways[0].Cost, c.Ways[len(c.Ways)-1].Cost
	p := &Plot{Width: plotWidth, Height: plotHeight, Base: plotBase, Top: high.String(), Foot: low.String(), TopY: plotTop + 5, FootY: plotBase - 14}
	x := func(day calendar.Day) int {
		if len(days) == 1 {
			return (plotLeft + plotRight) / 2
		}
		return plotLeft + 12 + (plotRight-plotLeft-24-numberRoom)*slices.Index(days, day)/(len(days)-1)
	}
	every := (len(days) + mostTicks - 1) / mostTicks
	for i, d := range days {
		if i%every != 0 {
			continue
		}
		text := labelOfNoDay
		if !d.IsZero() {
			text = shortDay(d)
		}
		p.Days = append(p.Days, tick{x(d), text})
	}
	for i, w := range c.Ways {
		y := plotBase - 18
		if high.Minor > low.Minor {
			y -= int(int64(plotBase-18-plotTop) * (w.Cost.Minor - low.Minor) / (high.Minor - low.Minor))
		}
		d := dot{
			X: x(w.Arrives), Y: y, N: i + 1, Round: w.Protection.Packaging == front.Soft, Cornered: w.Protection.Packaging == front.Stiff,
			Full: w.Protection.Care == front.Covered || w.Protection.Care == front.Signed,
		}
		for slices.ContainsFunc(p.Dots, func(o dot) bool { return abs(o.X-d.X) < 2*apart-8 && abs(o.Y-d.Y) < apart }) {
			d.Y -= apart / 2 // two ways that cost and take nearly the same stand one above the other
		}
		d.Points = fmt.Sprintf("%d,%d %d,%d %d,%d %d,%d", d.X, d.Y-dotSize-1, d.X+dotSize+1, d.Y, d.X, d.Y+dotSize+1, d.X-dotSize-1, d.Y)
		p.Dots = append(p.Dots, d)
	}
	if top := slices.MinFunc(p.Dots, func(a, b dot) int { return a.Y - b.Y }).Y; top < plotTop {
		p.lower(plotTop - top)
	}
	p.Label = fmt.Sprintf("%d ways to send it, by the day of arrival and by cost: from %s to %s. The table has every number.", len(c.Ways), low, high)
	return p
}

// lower makes room above for dots that were moved up.
func (p *Plot) lower(by int) {
	for i := range p.Dots {
		d := &p.Dots[i]
		d.Y += by
		d.Points = fmt.Sprintf("%d,%d %d,%d %d,%d %d,%d", d.X, d.Y-dotSize-1, d.X+dotSize+1, d.Y, d.X, d.Y+dotSize+1, d.X-dotSize-1, d.Y)
	}
	p.Base, p.Height, p.FootY, p.TopY = p.Base+by, p.Height+by, p.FootY+by, p.TopY+by
}

// DayFoot is the foot of the days.
func (p *Plot) DayFoot() int { return p.Base + dayFoot - plotBase }

// shortDay is a day without its year: "17 Apr".
func shortDay(d calendar.Day) string {
	_, m, n := d.Civil()
	return fmt.Sprintf("%d %.3s", n, m)
}

func abs(n int) int { return max(n, -n) }
