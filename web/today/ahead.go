package today

import (
	"fmt"

	"solander/bench"
	"solander/web/page"
)

// dayAhead is a day of the strip of promises.
type dayAhead struct {
	bench.Promises
	Today bool
	Bars  []int // how far up each bar stands, in tenths of the strip
}

// Date and Week name the day under its bars.
func (d dayAhead) Date() int {
	_, _, date := d.Day.Civil()
	return date
}

func (d dayAhead) Week() string { return d.Day.Weekday().String()[:2] }

// aheadMost is how many bars stand over one another: on a busier day a bar stands for several orders.
const aheadMost = 8

// ahead draws the fortnight: a bar an order, or as many as it takes for the busiest day to fit.
func (p *BenchPage) ahead() {
	most := 0
	for _, d := range p.List.Ahead {
		most = max(most, d.Orders)
	}
	each := max(1, (most+aheadMost-1)/aheadMost)
	if each > 1 {
		p.AheadBar = "A bar stands for " + page.Many(each, "order") + "."
	}
	for _, d := range p.List.Ahead {
		v := dayAhead{Promises: d, Today: d.Day == p.Today}
		for i := range (d.Orders + each - 1) / each {
			v.Bars = append(v.Bars, i)
		}
		p.Ahead = append(p.Ahead, v)
	}
}

// Promised says how much is promised for a day, for who does not see the bars.
func (d dayAhead) Promised() string {
	if d.Orders == 0 {
		return "nothing promised"
	}
	return fmt.Sprint(d.Orders, " promised")
}

// DayName is the day of the page as its head says it: "Sunday 29 November".
func (p *BenchPage) DayName() string {
	if p.Day.IsZero() {
		return ""
	}
	year, month, date := p.Day.Civil()
	name := fmt.Sprint(p.Day.Weekday(), " ", date, " ", month)
	if now, _, _ := p.Today.Civil(); now != year {
		name += fmt.Sprint(" ", year)
	}
	return name
}
