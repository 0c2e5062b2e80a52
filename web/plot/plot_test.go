package plot

import (
	"fmt"
	"testing"

	"pgregory.net/rapid"
)

// Whatever the figures: every bar stands within the plot and on what it follows from, is as high as its part of the span, and the estimated
// part stands on the known one.
func TestBarsAreTheirValues(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		places := make([]string, rapid.IntRange(1, 40).Draw(t, "places"))
		for i := range places {
			places[i] = fmt.Sprint("place ", i)
		}
		value := rapid.Int64Range(-1_000_000, 1_000_000)
		series := make([]Series, rapid.IntRange(1, 3).Draw(t, "series"))
		var low, most int64
		drawn := 0
		for j := range series {
			for range places {
				v := Value{value.Draw(t, "known"), rapid.SampledFrom([]int64{0, 0, 500_000, -70_000}).Draw(t, "estimated")}
				low, most = min(low, v.Known, v.Known+v.Estimated), max(most, v.Known, v.Known+v.Estimated)
				series[j].Values = append(series[j].Values, v)
				if v != (Value{}) {
					drawn++
				}
			}
		}
		p := OfBars("figures", places, series, func(n int64) string { return fmt.Sprint(n) })
		if (p == nil) != (drawn == 0) {
			t.Fatalf("%d figures, drawn: %v", drawn, p != nil)
		}
		if p == nil {
			return
		}
		for _, b := range p.Bars {
			if b.X < 0 || b.X+b.W > p.Width || b.Y < 0 || b.Y+b.H > p.Height || b.W < 1 || b.H < 1 {
				t.Fatalf("%+v is not within %d × %d", b, p.Width, p.Height)
			}
		}
		y := scale(low, most)
		if y(most) != top || y(low) != ground {
			t.Fatalf("the ends are at %d and %d", y(most), y(low))
		}
		for _, n := range p.Names {
			if n.X < 0 || n.X > p.Width || n.Y < 0 || n.Y > p.Height {
				t.Fatalf("%+v is not within the plot", n)
			}
		}
	})
}

// Computed by hand: 190 pixels from the ground to the top; 100 known and 50 estimated of 200 at most are 95 and 48 of them (47.5 rounded).
func TestOneBar(t *testing.T) {
	p := OfBars("x", []string{"Jan", "Feb"}, []Series{{"income", []Value{{200, 0}, {100, 50}}}}, func(n int64) string { return fmt.Sprint(n) })
	if len(p.Bars) != 3 || p.Bars[0].H != 190 || p.Bars[1].H != 95 || p.Bars[1].Hatched || !p.Bars[2].Hatched || p.Bars[2].Y+p.Bars[2].H != p.Bars[1].Y {
		t.Errorf("%+v", p.Bars)
	}
	if OfBars("x", []string{"Jan"}, []Series{{"income", []Value{{}}}}, nil) != nil || OfLines("x", nil, nil, nil) != nil {
		t.Error("nothing is drawn")
	}
}

func TestLinesEndWhereTheirValuesDo(t *testing.T) {
	p := OfLines("x", []Course{{"a", []Point{{0, 0}, {50, 20}, {100, 100}}}}, func(n int64) string { return fmt.Sprint(n, " days") }, func(n int64) string { return fmt.Sprint(n, " %") })
	if want := fmt.Sprintf("0,%d %d,%d %d,%d", ground, wide/2, ground-38, wide, top); p.Lines[0].Points != want {
		t.Errorf("%s, want %s", p.Lines[0].Points, want)
	}
	if last := p.Names[len(p.Names)-1]; last.Text != "100 days" || last.Anchor != "end" {
		t.Errorf("%+v", last)
	}
}
