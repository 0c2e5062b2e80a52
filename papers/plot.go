package papers

import (
	"fmt"
	"html"
	"strings"

	"solander/money"
)

// Plot is pairs of bars of money on a line: what something costs as it is, and beside it what it costs with a change. Places are in
// units of its own, which are pixels where it has the room.
type Plot struct {
	Label        string // says what it shows; the table beside it has every number
	Width        int
	Height       int
	Zero         int // height of the line on which they stand, from the top
	Bars         []PlotBar
	Points       []PlotPoint // what the pairs stand for
	First, Final string      // what the first and the last pair stand for
}

// PlotBar is one bar of a pair, with its amount on it where there is room, and below the first of a pair the name of both.
type PlotBar struct {
	X, Y, W, H int
	After      bool   // with the change
	Amount     string // "" = no room
	Name       string // "" = no room
}

// PlotPoint is one pair of a plot, in minor units.
type PlotPoint struct {
	Name          string
	Before, After int64
}

// Saves is what the change saves; negative when it costs more.
func (p PlotPoint) Saves() int64 { return p.Before - p.After }

// Sizes of a plot.
const (
	plotWide   = 900
	plotTall   = 200
	plotEdge   = 24 // above and below, for the words
	widestPair = 120
	letter     = 8 // about the width of one
)

// PlotOf scales pairs into the height of a plot; nil when there is none, or the change changes nothing.
func PlotOf(points []PlotPoint, currency string) *Plot {
	var most int64
	changed := false
	for _, x := range points {
		most, changed = max(most, x.Before, x.After), changed || x.Saves() != 0
	}
	if !changed || most <= 0 {
		return nil
	}
	p := &Plot{Points: points, Width: plotWide, Height: plotTall + 2*plotEdge, Zero: plotEdge + plotTall, First: points[0].Name, Final: points[len(points)-1].Name}
	step := min(plotWide/len(points), widestPair)
	wide := max(1, step*2/5)
	for i, x := range points {
		for j, v := range []int64{x.Before, x.After} {
			b := PlotBar{X: i*step + step/10 + j*wide, W: wide, After: j == 1, H: int(v * plotTall / most)}
			if v > 0 {
				b.H = max(1, b.H)
			}
			b.Y = p.Zero - b.H
			if text := money.Of(v, currency).Plain(); letter*len(text) <= wide {
				b.Amount = text
			}
			if j == 0 && letter*len(x.Name) < step {
				b.Name = x.Name
			}
			p.Bars = append(p.Bars, b)
		}
	}
	return p
}

// Foot is where the names below the plot stand; Above where the amount of a bar does.
func (p *Plot) Foot() int { return p.Height - 6 }

// Above is where the amount on a bar stands.
func (b PlotBar) Above() int { return b.Y - 5 }

// SVG is the plot as a picture of its own.
func (p *Plot) SVG() string {
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d" width="%d" height="%d" role="img" font-family="serif" font-size="15">`+"\n", p.Width, p.Height, p.Width, p.Height)
	fmt.Fprintf(&b, "<title>%s</title>\n<rect width=\"100%%\" height=\"100%%\" fill=\"#fff\"/>\n", html.EscapeString(p.Label))
	for i, x := range p.Bars {
		fill := "#fff"
		if x.After {
			fill = "#0b5d4c"
		}
		fmt.Fprintf(&b, `<rect x="%d" y="%d" width="%d" height="%d" fill="%s" stroke="#111"><title>%s</title></rect>`+"\n", x.X, x.Y, x.W, x.H, fill, html.EscapeString(p.Points[i/2].Name))
		fmt.Fprintf(&b, "<text x=\"%d\" y=\"%d\" font-size=\"12\">%s</text>\n", x.X, x.Above(), html.EscapeString(x.Amount))
		fmt.Fprintf(&b, "<text x=\"%d\" y=\"%d\">%s</text>\n", x.X, p.Foot(), html.EscapeString(x.Name))
	}
	fmt.Fprintf(&b, `<line x1="0" y1="%d" x2="%d" y2="%d" stroke="#111"/>`+"\n", p.Zero, p.Width, p.Zero)
	fmt.Fprintf(&b, "<text x=\"%d\" y=\"16\" text-anchor=\"end\">%s to %s: white as it is, filled with the change</text>\n</svg>\n", p.Width, html.EscapeString(p.First), html.EscapeString(p.Final))
	return b.String()
}

// textWide is the room of the longest bar of text, in characters.
const textWide = 40

// TextLines is what the change saves as lines of text: name, bar, amount. A bar of + saves, one of - costs more; what is
// not nothing has at least one.
func (p *Plot) TextLines(currency string) [][3]string {
	var most int64 = 1
	for _, x := range p.Points {
		most = max(most, x.Saves(), -x.Saves())
	}
	var out [][3]string
	for _, x := range p.Points {
		size, mark := x.Saves(), "+"
		if size < 0 {
			size, mark = -size, "-"
		}
		n := int(size * textWide / most)
		if size > 0 {
			n = max(1, n)
		}
		out = append(out, [3]string{x.Name, strings.Repeat(mark, n), money.Of(x.Saves(), currency).String()})
	}
	return out
}
