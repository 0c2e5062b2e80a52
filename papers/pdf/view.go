package pdf

import (
	"fmt"

	"solander/measure"
	"solander/papers"
	"solander/papers/pdf/leaf"
)

// drawing is a paper with drawings to scale: of a parcel and how it is built, of sheets and how they are cut.
type drawing struct{ *page }

// tones fill the shapes of a drawing; each role also has a line of its own, so that they stay apart in
// black and white.
var tones = map[papers.Role]colour{
	papers.RolePrint: {255, 255, 255},
	papers.RoleSoft:  {240, 243, 240},
	papers.RoleStiff: {196, 203, 198},
	papers.RoleShell: {222, 228, 223},
	papers.RoleRoom:  {250, 251, 249},
	papers.RoleFlap:  {238, 241, 237},
}

// view draws a drawing to scale, at most tall points high, with keys and sizes at its right.
func (p drawing) view(v papers.View, tall float64) {
	x0, y0, w, h := v.Bounds()
	if w <= 0 || h <= 0 {
		return
	}
	const words = viewWords
	scale := p.viewScale(w, h, tall)
	sizes := p.viewWords(v, words)
	height := max(float64(h)*scale, float64(len(sizes))*leading)
	p.need(height + viewMore)
	p.y += 10
	p.text(p.left, p.y, v.Name, bold, ink)
	p.y += 8
	at := func(s papers.Shape) (x, y, w, h float64) {
		return p.left + float64(s.X-x0)*scale, p.y + float64(s.Y-y0)*scale, float64(s.W) * scale, float64(s.H) * scale
	}
	for _, s := range v.Shapes {
		p.shape(s, at)
	}
	p.viewKeys(v, at, p.left+float64(w)*scale, float64(h)*scale)
	for i, l := range sizes {
		p.text(p.right-words, p.y+9+float64(i)*leading, l.text, l.font, l.ink)
	}
	p.y += height + 14
}

// What a drawing takes beside itself: keys and words at its right, its name and a gap in height.
const (
	viewKeys  = 34
	viewWords = 150
	viewMore  = 34
)

func (p drawing) viewScale(w, h measure.Length, tall float64) float64 {
	return min((p.width()-viewKeys-viewWords)/float64(w), tall/float64(h))
}

// views draws drawings one below the other, a little smaller where that keeps them all on this page.
func (p drawing) views(all []papers.View) {
	const usual = 190
	tall := func(most float64) (sum float64) {
		for _, v := range all {
			if _, _, w, h := v.Bounds(); w > 0 && h > 0 {
				sum += max(float64(h)*p.viewScale(w, h, most), float64(len(p.viewWords(v, viewWords)))*leading) + viewMore
			}
		}
		return sum
	}
	most := float64(usual)
	for _, smaller := range []float64{usual, 165, 140, 120} {
		if p.y+tall(smaller) <= p.bottom {
			most = smaller
			break
		}
	}
	for _, v := range all {
		p.view(v, most)
	}
}

func (p drawing) viewWords(v papers.View, width float64) []styled {
	var out []styled
	for _, s := range v.Sizes {
		out = append(out, p.lines(s, small, ink, width)...)
	}
	note := "drawn to scale"
	if v.Note != "" {
		note = "drawn to scale, but " + v.Note
	}
	return append(out, p.lines(note, italic.At(9), soft, width)...)
}

// shape draws one shape. A print is crossed out lightly, as drawings show what is not a part of the
// packaging; cuts are drawn dashed and strong, folds dotted.
func (p drawing) shape(s papers.Shape, at func(papers.Shape) (x, y, w, h float64)) {
	x, y, w, h := at(s)
	switch s.Role {
	case papers.RoleCut:
		p.on.Pen(accent, 1.6)
		p.on.Dash(5, 3)
		p.on.Line(x, y, x+w, y+h)
		p.on.Dash()
		return
	case papers.RoleFold:
		p.on.Pen(white, 3) // clear the line first: it lies on an outline
		p.on.Line(x, y, x+w, y+h)
		p.on.Pen(ink, 1.4)
		p.on.Dash(1, 2.5)
		p.on.Line(x, y, x+w, y+h)
		p.on.Dash()
		return
	case papers.RoleFlap:
		p.on.Rect(x, y, w, h, tones[s.Role])
		return
	}
	p.on.Pen(ink, 0.6)
	if s.Round {
		p.on.Ellipse(x+w/2, y+h/2, w/2, h/2, tones[s.Role])
		return
	}
	p.on.Rect(x, y, w, h, tones[s.Role])
	if s.Role == papers.RolePrint && h > 14 {
		p.print(s, x, y, w, h)
	}
	p.on.Pen(ink, 0.6)
	p.on.Frame(x, y, w, h)
}

// print draws what is on a print: its picture, turned as the print lies, or else a light cross.
func (p drawing) print(s papers.Shape, x, y, w, h float64) {
	if pw, ph := leaf.Sides(p.pictures[s.Print]); pw > 0 {
		p.on.Picture(p.pictures[s.Print], x+1, y+1, w-2, h-2, (pw > ph) != (w > h))
		return
	}
	p.on.Pen(hair, 0.3)
	p.on.Line(x, y, x+w, y+h)
	p.on.Line(x, y+h, x+w, y)
}

// viewKeys draws the numbers of the steps to the right of a drawing, each with a line to its shape.
func (p drawing) viewKeys(v papers.View, at func(papers.Shape) (x, y, w, h float64), right, tall float64) {
	keys := v.Keys()
	const apart = 10
	start := p.y + max(6, (tall-float64(len(keys)-1)*apart)/2)
	for i, k := range keys {
		y := start + float64(i)*apart
		x, top, w, h := at(k.Shape)
		to := min(max(y, top), top+h) // the nearest height on the shape's right edge
		if k.Shape.Round {
			to = top + h/2
		}
		p.on.Pen(accent, 0.4)
		p.on.Line(x+w, to, right+8, y)
		p.text(right+10, y+3, fmt.Sprint(k.Step), bold, accent)
	}
}
