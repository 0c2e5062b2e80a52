package pdf

import (
	"fmt"

	"solander/papers"
)

// cuttingList draws each kind of cutting with its cuts in order.
func (p drawing) cuttingList(l papers.CuttingList) {
	p.begin(l.Proof)
	p.cautions(l.Cautions)
	for _, s := range l.Sheets {
		p.cutSheet(s)
	}
}

const cutTall = 300

func (p drawing) cutSheet(s papers.DrawnSheet) {
	p.need(min(cutTall+80, p.bottom-p.top-60))
	p.heading(s.Title, s.Waste)
	for _, b := range s.Boards {
		p.row(cell{x: p.left, w: p.width(), lines: p.lines(b, roman, ink, p.width())})
	}
	p.cutDrawing(s)
	for i, step := range s.Steps {
		const tick, key = 16, 26
		p.row(ticked(p.left), cell{x: p.left + tick, w: key, lines: []styled{{fmt.Sprint(i + 1), bold.At(9.5), accent}}},
			cell{x: p.left + tick + key, w: p.width() - tick - key, lines: p.lines(step, roman, ink, p.width()-tick-key)})
	}
}

// cutDrawing draws a sheet over the width of the page with sizes on the boards and numbers on the cuts.
func (p drawing) cutDrawing(s papers.DrawnSheet) {
	x0, y0, w, h := s.View.Bounds()
	if w <= 0 || h <= 0 {
		return
	}
	scale := min(p.width()/float64(w), cutTall/float64(h))
	p.need(float64(h)*scale + 30)
	p.y += 4
	at := func(v papers.Shape) (x, y, w, h float64) {
		return p.left + float64(v.X-x0)*scale, p.y + float64(v.Y-y0)*scale, float64(v.W) * scale, float64(v.H) * scale
	}
	for _, shape := range s.View.Shapes {
		p.shape(shape, at)
	}
	for _, m := range s.Marks {
		p.cutMark(m, p.left+float64(m.X-x0)*scale, p.y+float64(m.Y-y0)*scale)
	}
	p.y += float64(h)*scale + 18
}

// cutMark writes a word centred on a point: the number of a cut in a white disc, or the size of a board.
func (p drawing) cutMark(m papers.Mark, x, y float64) {
	if !m.Cut {
		f := small.At(8)
		p.text(x-p.measure(m.Text, f)/2, y+3, m.Text, f, ink)
		return
	}
	f := bold.At(8)
	p.on.Pen(accent, 0.6)
	p.on.Ellipse(x, y, 7, 7, white)
	p.text(x-p.measure(m.Text, f)/2, y+2.8, m.Text, f, accent)
}
