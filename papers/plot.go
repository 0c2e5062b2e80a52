package papers

import (
	"fmt"
	"html"
	"strings"

	"solander/money"
)

// Plot is bars of money round a line of nothing: a bar up saves, a bar down costs more. Places are in units
// of its own, which are pixels where it has the room.
type Plot struct {
	Label        string // says what it shows; the table beside it has every number
	Width        int
	Height       int
	Zero         int // height of the line of nothing, from the top
	Bars         []PlotBar
	Points       []PlotPoint // what the bars stand for
	Most, Least  string      // the ends of the scale; "" = none on that side
	First, Final string      // what the first and the last bar stand for
}

// PlotBar is one bar, with its name on the other side of the line where there is room for it.
type PlotBar struct {
	X, Y, W, H int
	Up         bool
	Name       string // "" = no room
	NameY      int
}

// PlotPoint is one value of a plot, in minor units.
type PlotPoint struct {
	Name  string
	Value int64
}

// Sizes of a plot.
const (
	plotWide  = 900
	plotTall  = 200
	plotEdge  = 24 // above and below, for the words
	widestBar = 90
	letter    = 8 // about the width of one
)

// PlotOf scales values into the height of a plot, the line of nothing where it must be; nil when there is no
// value, or each is nothing.
func PlotOf(points []PlotPoint, currency string) *Plot {
	var high, low int64
	for _, x := range points {
		high, low = max(high, x.Value), min(low, x.Value)
	}
	if high == low {
		return nil
	}
	span := max(1, high-low)
	scale := func(v int64) int { return int(v * plotTall / span) }
	p := &Plot{Points: points, Width: plotWide, Height: plotTall + 2*plotEdge, Zero: plotEdge + scale(high), First: points[0].Name, Final: points[len(points)-1].Name}
	if high > 0 {
		p.Most = "saves " + money.Of(high, currency).String()
	}
	if low < 0 {
		p.Least = "costs " + money.Of(-low, currency).String() + " more"
	}
	step := min(plotWide/len(points), widestBar)
	for i, x := range points {
		b := PlotBar{X: i*step + step/8, W: max(1, step*3/4), Up: x.Value >= 0}
		if b.H = scale(max(x.Value, -x.Value)); x.Value != 0 {
			b.H = max(1, b.H)
		}
		b.Y, b.NameY = p.Zero, p.Zero-6
		if b.Up {
			b.Y, b.NameY = p.Zero-b.H, p.Zero+18
		}
		if letter*len(x.Name) < step {
			b.Name = x.Name
		}
		p.Bars = append(p.Bars, b)
	}
	return p
}

// Foot is where the words below the plot stand.
func (p *Plot) Foot() int { return p.Height - 6 }

// SVG is the plot as a picture of its own.
func (p *Plot) SVG() string {
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d" width="%d" height="%d" role="img" font-family="serif" font-size="15">`+"\n", p.Width, p.Height, p.Width, p.Height)
	fmt.Fprintf(&b, "<title>%s</title>\n<rect width=\"100%%\" height=\"100%%\" fill=\"#fff\"/>\n", html.EscapeString(p.Label))
	for i, x := range p.Bars {
		fill := "#fff"
		if !x.Up {
			fill = "#0b5d4c"
		}
		fmt.Fprintf(&b, `<rect x="%d" y="%d" width="%d" height="%d" fill="%s" stroke="#111"><title>%s</title></rect>`+"\n", x.X, x.Y, x.W, x.H, fill, html.EscapeString(p.Points[i].Name))
	}
	for _, x := range p.Bars {
		fmt.Fprintf(&b, "<text x=\"%d\" y=\"%d\">%s</text>\n", x.X, x.NameY, html.EscapeString(x.Name))
	}
	fmt.Fprintf(&b, `<line x1="0" y1="%d" x2="%d" y2="%d" stroke="#111"/>`+"\n", p.Zero, p.Width, p.Zero)
	fmt.Fprintf(&b, "<text x=\"0\" y=\"16\">%s</text>\n<text x=\"0\" y=\"%d\">%s</text>\n", html.EscapeString(p.Most), p.Foot(), html.EscapeString(p.Least))
	fmt.Fprintf(&b, "<text x=\"%d\" y=\"16\" text-anchor=\"end\">%s to %s: up saves, down costs more</text>\n</svg>\n", p.Width, html.EscapeString(p.First), html.EscapeString(p.Final))
	return b.String()
}

// textWide is the room of the longest bar of text, in characters.
const textWide = 40

// TextLines is the plot as lines of text: name, bar, amount. A bar of + saves, one of - costs more; what is
// not nothing has at least one.
func (p *Plot) TextLines(currency string) [][3]string {
	var most int64 = 1
	for _, x := range p.Points {
		most = max(most, x.Value, -x.Value)
	}
	var out [][3]string
	for _, x := range p.Points {
		size, mark := x.Value, "+"
		if size < 0 {
			size, mark = -size, "-"
		}
		n := int(size * textWide / most)
		if size > 0 {
			n = max(1, n)
		}
		out = append(out, [3]string{x.Name, strings.Repeat(mark, n), money.Of(x.Value, currency).String()})
	}
	return out
}
