package catalogue

import (
	"fmt"
	"strings"
	"time"

	"solander/calendar"
	"solander/money"
	"solander/register"
)

// salesPlot is what was sold over time: together as a line against the price steps, and by month as bars under it.
type salesPlot struct {
	Box, Label    string
	Width, Height int
	Line          string // points of the line
	Bars          []salesBar
	Steps         []salesStep
	Base, Ground  int // of the line, of the bars
	Names         []salesName
	Months        []salesMonth
	Sold          int
	Open          bool // no numbers: nothing that came back is told apart
}

// salesBar is a month as a bar.
type salesBar struct{ X, Y, W, H int }

// salesStep is a price from so many sold on, as a line across.
type salesStep struct {
	Y    int
	Text string // "" when there is no room
}

// salesName is a word of the plot.
type salesName struct {
	X, Y   int
	Anchor string
	Text   string
}

// salesMonth is a month of the table in which something was sold.
type salesMonth struct {
	Month    string
	Sold     int
	Together int
	Price    string // "44.00", "44.00 to 48.00"
}

// The plot in pixels: the line above, the bars below it, words under both.
const (
	plotWide, plotHigh = 520, 262
	plotTop, plotBase  = 22, 168
	plotGround         = 236
	barsHigh           = 52
	letterHigh         = 18
)

// month counts the months from the year 0 on.
func monthOf(d calendar.Day) int {
	y, m, _ := d.Civil()
	return y*12 + int(m) - 1
}

func monthName(n int) string {
	return fmt.Sprintf("%s %d", time.Month(n%12 + 1).String()[:3], n/12)
}

// plotSales draws what was sold; nil when nothing was.
func plotSales(v register.Sheet) *salesPlot {
	if len(v.Sales) == 0 {
		return nil
	}
	first, last := monthOf(v.Sales[0].Day), monthOf(v.Sales[len(v.Sales)-1].Day)
	sold := make([]int, last-first+1)
	p := &salesPlot{Width: plotWide, Height: plotHigh, Box: fmt.Sprintf("0 0 %d %d", plotWide, plotHigh), Base: plotBase, Ground: plotGround, Open: v.Open()}
	for _, d := range v.Sales {
		m := monthOf(d.Day) - first
		sold[m] += d.Count
		p.Sold += d.Count
	}
	p.steps(v)
	p.course(sold)
	p.tell(v, sold, first)
	return p
}

// top is the count at the upper edge of the line: all that was sold, or the next step of the price when it is not far.
func (p *salesPlot) top(v register.Sheet) int {
	for _, s := range v.Steps {
		if s.FromSold > p.Sold && s.FromSold <= 2*p.Sold {
			return s.FromSold
		}
	}
	return p.Sold
}

func (p *salesPlot) steps(v register.Sheet) {
	top := p.top(v)
	free, sold := plotBase, plotBase-(plotBase-plotTop)*p.Sold/top
	put := func(from int, price money.Amount) {
		y := plotBase - (plotBase-plotTop)*from/top
		s := salesStep{Y: y}
		if y <= free && max(y-sold, sold-y) >= letterHigh { // clear of the step below, and of what is sold
			s.Text, free = price.String(), y-letterHigh
			if from > 0 {
				s.Text = fmt.Sprintf("%s from %d", price, from)
			}
		}
		p.Steps = append(p.Steps, s)
	}
	if len(v.Steps) > 0 {
		put(0, v.Price)
	}
	for _, s := range v.Steps {
		if s.FromSold <= top {
			put(s.FromSold, s.Price)
		}
	}
	p.Names = append(p.Names, salesName{plotWide, sold - 6, "end", fmt.Sprint(p.Sold, " sold")})
}

// course draws the line and the bars, both on one scale of months.
func (p *salesPlot) course(sold []int) {
	most := 0
	for _, n := range sold {
		most = max(most, n)
	}
	high := plotBase - (p.Names[0].Y + 6) // of all that was sold
	x := func(i int) int { return plotWide * i / len(sold) }
	points, together := []string{fmt.Sprintf("0,%d", plotBase)}, 0
	for i, n := range sold {
		together += n
		points = append(points, fmt.Sprintf("%d,%d", x(i+1), plotBase-high*together/p.Sold))
		if n > 0 {
			h := max(2, barsHigh*n/most)
			gap := min(3, (x(i+1)-x(i))/4)
			p.Bars = append(p.Bars, salesBar{x(i) + gap, plotGround - h, max(1, x(i+1)-x(i)-2*gap), h})
		}
	}
	p.Line = strings.Join(points, " ")
}

// tell says the same in words: the ends of the plot, and the table by month.
func (p *salesPlot) tell(v register.Sheet, sold []int, first int) {
	last := first + len(sold) - 1
	p.Names = append(p.Names, salesName{0, plotHigh - 6, "start", monthName(first)})
	if last != first {
		p.Names = append(p.Names, salesName{plotWide, plotHigh - 6, "end", monthName(last)})
	}
	p.Label = fmt.Sprintf("%d sold from %s to %s", p.Sold, monthName(first), monthName(last))
	low, high := make([]money.Amount, len(sold)), make([]money.Amount, len(sold))
	for _, d := range v.Sales {
		m := monthOf(d.Day) - first
		if low[m].Currency == "" || d.Price.Minor < low[m].Minor {
			low[m] = d.Price
		}
		if high[m].Currency == "" || d.Price.Minor > high[m].Minor {
			high[m] = d.Price
		}
	}
	together := 0
	for i, n := range sold {
		if together += n; n == 0 {
			continue
		}
		price := low[i].String()
		if high[i] != low[i] {
			price += " to " + high[i].String()
		}
		p.Months = append(p.Months, salesMonth{monthName(first + i), n, together, price})
	}
}
