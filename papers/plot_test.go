package papers_test

import (
	"encoding/xml"
	"io"
	"strings"
	"testing"

	"solander/papers"
)

// By hand: the scale of 200 units holds 4.00, so that a dollar is 50 units; the line lies 24 + 200 below the top. Three pairs of
// 120 units: bars of 48 each, the first 12 from the edge.
func TestPlot(t *testing.T) {
	p := papers.PlotOf([]papers.PlotPoint{{Name: "2026-03", Before: 400, After: 100}, {Name: "2026-04", Before: 100, After: 200}, {Name: "2026-05"}}, "USD")
	if p.Zero != 224 || p.First != "2026-03" || p.Final != "2026-05" || len(p.Bars) != 6 {
		t.Fatalf("%+v", p)
	}
	want := []papers.PlotBar{
		{X: 12, Y: 24, W: 48, H: 200, Amount: "4.00", Name: "2026-03"},
		{X: 60, Y: 174, W: 48, H: 50, After: true, Amount: "1.00"},
		{X: 132, Y: 174, W: 48, H: 50, Amount: "1.00", Name: "2026-04"},
		{X: 180, Y: 124, W: 48, H: 100, After: true, Amount: "2.00"},
		{X: 252, Y: 224, W: 48, Amount: "0.00", Name: "2026-05"},
		{X: 300, Y: 224, W: 48, After: true, Amount: "0.00"},
	}
	for i, b := range p.Bars {
		if b != want[i] {
			t.Errorf("bar %d: %+v, want %+v", i, b, want[i])
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
	if p := papers.PlotOf([]papers.PlotPoint{{Name: "x", Before: 5, After: 5}, {Name: "y"}}, "USD"); p != nil {
		t.Errorf("%+v", p)
	}
}

// The picture is well-formed XML, and texts cannot break out of it.
func TestPlotPicture(t *testing.T) {
	p := papers.PlotOf([]papers.PlotPoint{{Name: `<b>"&`, Before: 5}}, "USD")
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
	if bars != 3 { // the leaf and a pair
		t.Errorf("%d rectangles, want 3", bars)
	}
}
