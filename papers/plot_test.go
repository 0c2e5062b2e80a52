package papers_test

import (
	"encoding/xml"
	"io"
	"strings"
	"testing"

	"solander/papers"
)

// By hand: the scale of 200 units holds 3.00 up and 1.00 down, so that a dollar is 50 units and the line of
// nothing lies 150 below the top of the scale, which is 24 from the edge.
func TestPlot(t *testing.T) {
	p := papers.PlotOf([]papers.PlotPoint{{Name: "2026-03", Value: 300}, {Name: "2026-04", Value: -100}, {Name: "2026-05", Value: 0}}, "USD")
	if p.Zero != 24+150 || p.Most != "saves 3.00 USD" || p.Least != "costs 1.00 USD more" || p.First != "2026-03" || p.Final != "2026-05" {
		t.Errorf("%+v", p)
	}
	up, down, none := p.Bars[0], p.Bars[1], p.Bars[2]
	if !up.Up || up.H != 150 || up.Y != 24 || down.Up || down.H != 50 || down.Y != p.Zero || none.H != 0 {
		t.Errorf("%+v", p.Bars)
	}
	for i, b := range p.Bars {
		if b.Name != p.Points[i].Name || i > 0 && b.X < p.Bars[i-1].X+p.Bars[i-1].W {
			t.Errorf("bar %d: %+v", i, b)
		}
	}
	lines := p.TextLines("USD")
	if lines[0] != [3]string{"2026-03", strings.Repeat("+", 40), "3.00 USD"} || lines[1] != [3]string{"2026-04", strings.Repeat("-", 13), "-1.00 USD"} || lines[2][1] != "" {
		t.Errorf("%q", lines)
	}
}

func TestPlotOfNothing(t *testing.T) {
	if p := papers.PlotOf(nil, "USD"); p != nil {
		t.Errorf("%+v", p)
	}
	if p := papers.PlotOf([]papers.PlotPoint{{Name: "x"}, {Name: "y"}}, "USD"); p != nil {
		t.Errorf("%+v", p)
	}
}

// The picture is well-formed XML, and texts cannot break out of it.
func TestPlotPicture(t *testing.T) {
	p := papers.PlotOf([]papers.PlotPoint{{Name: `<b>"&`, Value: 5}}, "USD")
	p.Label = `</title><script>`
	bars := 0
	for d := xml.NewDecoder(strings.NewReader(p.SVG())); ; {
		tok, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		if e, ok := tok.(xml.StartElement); ok {
			if e.Name.Local == "script" || e.Name.Local == "b" {
				t.Errorf("a text broke out as <%s>", e.Name.Local)
			}
			if e.Name.Local == "rect" {
				bars++
			}
		}
	}
	if bars != 2 { // the leaf and the bar
		t.Errorf("%d rectangles, want 2", bars)
	}
}
