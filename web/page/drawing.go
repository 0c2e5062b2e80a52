package page

import (
	"fmt"

	"solander/measure"
	"solander/papers"
)

// Drawing is a view of a parcel as SVG: one unit is a tenth of a millimetre, so that every number in it
// is small and whole.
type Drawing struct {
	Name   string
	Note   string
	Sizes  []string
	Box    string // viewBox
	Width  int64  // shown width in pixels
	Height int64
	Shapes []drawnShape
	Words  []DrawnWord
	Letter int64 // height of the words
}

// DrawnWord is a word on it, centred; Cut says that it numbers a cut and stands in a disc.
type DrawnWord struct {
	X, Y int64
	Text string
	Cut  bool
}

// drawnShape is one shape of it.
type drawnShape struct {
	Class      string
	Round      bool
	Line       bool
	X, Y, W, H int64
}

// longest side of a drawing on the page, in pixels.
const drawnMost = 340

func Tenths(l measure.Length) int64 { return int64(l) / int64(measure.Millimetre/10) }

// Draw turns a view to scale into shapes; a view without shapes draws nothing.
func Draw(v papers.View) *Drawing {
	x, y, w, h := v.Bounds()
	if w <= 0 && h <= 0 {
		return nil
	}
	bw, bh := max(1, Tenths(w)), max(1, Tenths(h))
	edge := max(bw, bh)/60 + 1 // room for the strokes
	d := &Drawing{Name: v.Name, Note: v.Note, Sizes: v.Sizes}
	d.Box = fmt.Sprint(Tenths(x)-edge, " ", Tenths(y)-edge, " ", bw+2*edge, " ", bh+2*edge)
	d.Width = max(1, drawnMost*(bw+2*edge)/(max(bw, bh)+2*edge))
	d.Height = max(1, drawnMost*(bh+2*edge)/(max(bw, bh)+2*edge))
	for _, s := range v.Shapes {
		d.Shapes = append(d.Shapes, drawnShape{
			Class: string(s.Role), Round: s.Round, Line: s.W == 0 || s.H == 0,
			X: Tenths(s.X), Y: Tenths(s.Y), W: Tenths(s.W), H: Tenths(s.H),
		})
	}
	return d
}

// Right and Bottom are the far ends of a shape; CX, CY, RX, RY those of an ellipse.
func (s drawnShape) Right() int64 { return s.X + s.W }

func (s drawnShape) Bottom() int64 { return s.Y + s.H }

func (s drawnShape) CX() int64 { return s.X + s.W/2 }

func (s drawnShape) CY() int64 { return s.Y + s.H/2 }

func (s drawnShape) RX() int64 { return s.W / 2 }

func (s drawnShape) RY() int64 { return s.H / 2 }

func DrawAll(views []papers.View) []*Drawing {
	var out []*Drawing
	for _, v := range views {
		if d := Draw(v); d != nil {
			out = append(out, d)
		}
	}
	return out
}
