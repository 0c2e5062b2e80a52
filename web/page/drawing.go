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
	Keys   []drawnKey
	Width  int64 // shown width in pixels
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

// drawnKey is the number of a layer at the right of a drawing, with a line to what it names.
type drawnKey struct {
	Step         int
	X, Y         int64 // of the number
	FromX, FromY int64 // of the line
	ToX          int64
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

// Room for the keys, in pixels of a drawing that is shown as large as it may be: where they stand beside it, how wide they are, how far apart.
const (
	keyAway   = 26
	keyWide   = 20
	keyApart  = 19
	keyLetter = 16
)

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
	left, top, wide, tall := Tenths(x)-edge, Tenths(y)-edge, bw+2*edge, bh+2*edge
	pixels := func(n int64) int64 { return n*(max(bw, bh)+2*edge)/drawnMost + 1 }
	if keys := v.Keys(); len(keys) > 0 {
		column := int64(len(keys)) * pixels(keyApart)
		d.Letter, d.Keys = pixels(keyLetter), drawnKeys(keys, left+wide, top+tall/2-column/2, pixels)
		top, tall = min(top, top+tall/2-column/2), max(tall, column)
		wide += pixels(keyAway + keyWide)
	}
	d.Box = fmt.Sprint(left, " ", top, " ", wide, " ", tall)
	most := max(wide, tall)
	d.Width, d.Height = max(1, drawnMost*wide/most), max(1, drawnMost*tall/most)
	for _, s := range v.Shapes {
		d.Shapes = append(d.Shapes, drawnShape{
			Class: string(s.Role), Round: s.Round, Line: s.W == 0 || s.H == 0,
			X: Tenths(s.X), Y: Tenths(s.Y), W: Tenths(s.W), H: Tenths(s.H),
		})
	}
	return d
}

// drawnKeys puts the keys of a drawing in a column from a corner down.
func drawnKeys(keys []papers.Key, left, top int64, pixels func(int64) int64) []drawnKey {
	var out []drawnKey
	for i, k := range keys {
		s := k.Shape
		y := top + int64(i)*pixels(keyApart) + pixels(keyApart)/2
		at := min(max(y, Tenths(s.Y)), Tenths(s.Y+s.H)) // the nearest height on the shape's right edge
		if s.Round {
			at = Tenths(s.Y + s.H/2)
		}
		out = append(out, drawnKey{k.Step, left + pixels(keyAway+keyWide/2), y, Tenths(s.X + s.W), at, left + pixels(keyAway-2)})
	}
	return out
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
