// Package plot lays figures out as plots of plain shapes: bars side by side, and lines, with the words beside them. One unit is a pixel of a
// plot as wide as it may be; every number is whole. What is estimated has a shape of its own, so that a template can hatch it: colour alone
// says nothing. It draws nothing itself, and knows neither money nor days: whoever asks says how a value is written.
package plot

import (
	"fmt"
	"strings"
)

// Plot is a plot as its template needs it.
type Plot struct {
	Box           string
	Width, Height int
	Label         string // what is to be seen, for who cannot see it
	Keys          []KeyOf
	Bars          []Bar
	Grid          []Mark // lines across
	Lines         []Line
	Names         []Name
}

// KeyOf says what a class of bars or lines is.
type KeyOf struct{ Class, Text string }

// Bar is a bar; Class is "first", "second" …, Hatched says that it is estimated.
type Bar struct {
	Class      string
	Hatched    bool
	X, Y, W, H int
}

// Mark is a line across the plot.
type Mark struct {
	Y    int
	Zero bool
}

// Line is a line through points.
type Line struct{ Class, Points string }

// Name is a word of a plot.
type Name struct {
	X, Y   int
	Anchor string
	Text   string
}

// Classes are what tells series apart: shades and strokes, not hues alone.
var Classes = []string{"first", "second", "third", "fourth", "fifth", "sixth"}

// The plot in pixels: words above the top line and under the ground.
const (
	wide, high  = 640, 250
	top, ground = 24, 214
	foot        = 238
	letterWide  = 8 // of a word, about
)

// Value is a known and an estimated part of a figure. Both may be less than nothing.
type Value struct{ Known, Estimated int64 }

// Series is a figure of each place along the plot.
type Series struct {
	Name   string
	Values []Value
}

// OfBars draws series side by side, a group of bars for each place. write says a value. It is nil when there is nothing to be drawn.
func OfBars(label string, places []string, series []Series, write func(int64) string) *Plot {
	low, most := int64(0), int64(0)
	for _, s := range series {
		for _, v := range s.Values {
			for _, n := range []int64{v.Known, v.Known + v.Estimated} {
				low, most = min(low, n), max(most, n)
			}
		}
	}
	if len(places) == 0 || low == 0 && most == 0 {
		return nil
	}
	p := begin(label)
	y := scale(low, most)
	p.across(low, most, y, write)
	slot := wide / len(places)
	gap := min(12, slot/5)
	each := max(1, (slot-gap)/len(series))
	for j, s := range series {
		class := Classes[j%len(Classes)]
		p.Keys = append(p.Keys, KeyOf{class, s.Name})
		for i, v := range s.Values {
			x := i*wide/len(places) + gap/2 + j*each
			p.bar(class, false, x, each, y(0), y(v.Known))
			if v.Estimated != 0 {
				p.bar(class, true, x, each, y(v.Known), y(v.Known+v.Estimated))
			}
		}
	}
	p.under(places)
	return p
}

func begin(label string) *Plot {
	return &Plot{Box: fmt.Sprintf("0 0 %d %d", wide, high), Width: wide, Height: high, Label: label}
}

// scale says how high a value stands.
func scale(low, most int64) func(int64) int {
	span := float64(most - low)
	return func(n int64) int { return ground - int(float64(n-low)/span*float64(ground-top)+0.5) }
}

// across are the lines of the least, of nothing and of the most, with their values.
func (p *Plot) across(low, most int64, y func(int64) int, write func(int64) string) {
	p.Grid = append(p.Grid, Mark{Y: y(0), Zero: true})
	if most > 0 {
		p.Grid = append(p.Grid, Mark{Y: y(most)})
		p.Names = append(p.Names, Name{0, y(most) - 6, "start", write(most)})
	}
	if low < 0 {
		p.Grid = append(p.Grid, Mark{Y: y(low)})
		p.Names = append(p.Names, Name{0, y(low) - 6, "start", write(low)})
	}
}

func (p *Plot) bar(class string, hatched bool, x, w, from, to int) {
	if from == to {
		return
	}
	p.Bars = append(p.Bars, Bar{class, hatched, x, min(from, to), w, max(from, to) - min(from, to)})
}

// under writes the places below the ground, as many as have room.
func (p *Plot) under(places []string) {
	longest := 1
	for _, s := range places {
		longest = max(longest, len([]rune(s)))
	}
	every := 1
	for every < len(places) && every*wide/len(places) < longest*letterWide+8 {
		every++
	}
	for i, s := range places {
		if i%every == 0 {
			p.Names = append(p.Names, Name{i*wide/len(places) + wide/len(places)/2, foot, "middle", s})
		}
	}
	if every > 1 { // the first begins at its bar, so that no word is cut off
		for i := range p.Names {
			if n := &p.Names[i]; n.Y == foot {
				n.Anchor, n.X = "start", n.X-wide/len(places)/2
				if n.X+longest*letterWide > wide {
					n.Anchor, n.X = "end", wide
				}
			}
		}
	}
}

// Point is a point of a line.
type Point struct{ X, Y int64 }

// Course is a line of a plot.
type Course struct {
	Name   string
	Points []Point // by X, ascending
}

// OfLines draws courses in one plot, from 0 on both ways. writeX and writeY say where their ends are. It is nil when there is nothing to
// be drawn.
func OfLines(label string, courses []Course, writeX, writeY func(int64) string) *Plot {
	var right, most, low int64
	for _, c := range courses {
		for _, pt := range c.Points {
			right, most, low = max(right, pt.X), max(most, pt.Y), min(low, pt.Y)
		}
	}
	if right == 0 || most == low {
		return nil
	}
	p := begin(label)
	y := scale(low, most)
	p.across(low, most, y, writeY)
	for j, c := range courses {
		class := Classes[j%len(Classes)]
		p.Keys = append(p.Keys, KeyOf{class, c.Name})
		var points []string
		for _, pt := range c.Points {
			points = append(points, fmt.Sprintf("%d,%d", int(float64(pt.X)/float64(right)*wide+0.5), y(pt.Y)))
		}
		p.Lines = append(p.Lines, Line{class, strings.Join(points, " ")})
	}
	p.Names = append(p.Names, Name{0, foot, "start", writeX(0)}, Name{wide, foot, "end", writeX(right)})
	return p
}
