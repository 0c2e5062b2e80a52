package cutting

import "solander/measure"

// With a kerf k, lengths are reckoned one kerf larger, sheets and pieces alike: then a cut divides a length
// into two that add up to it, and what fits with kerfs between fits without. A panel of reckoned size w has
// real size w − k.

// joint is a piece, or two joints side by side or above one another, in reckoned sizes.
type joint struct {
	w, h    int64
	piece   int // index of what was asked, when a is nil
	upright bool
	a, b    *joint
}

func join(a, b *joint, upright bool) *joint {
	if upright {
		return &joint{w: a.w + b.w, h: max(a.h, b.h), upright: true, a: a, b: b}
	}
	return &joint{w: max(a.w, b.w), h: a.h + b.h, a: a, b: b}
}

// drawing turns a joint into panels and cuts.
type drawing struct {
	kerf int64
	step int
}

// draw cuts a joint out of a sheet of real size w × h.
func draw(j *joint, w, h measure.Length, kerf int64) Panel {
	d := &drawing{kerf: kerf}
	return d.panel(j, 0, 0, int64(w)+kerf, int64(h)+kerf)
}

func (d *drawing) panel(j *joint, x, y, w, h int64) Panel {
	p := Panel{measure.Length(x), measure.Length(y), measure.Length(w - d.kerf), measure.Length(h - d.kerf), nil, -1}
	switch {
	case j == nil:
		return p
	case j.a != nil && j.upright:
		return d.cut(p, true, j.a.w, x, y, w, h, j.a, j.b)
	case j.a != nil:
		return d.cut(p, false, j.a.h, x, y, w, h, j.a, j.b)
	case j.w < w:
		return d.cut(p, true, j.w, x, y, w, h, j, nil)
	case j.h < h:
		return d.cut(p, false, j.h, x, y, w, h, j, nil)
	}
	p.Piece = j.piece
	return p
}

// cut divides a panel at a reckoned length, with a before and b beyond it.
func (d *drawing) cut(p Panel, upright bool, at, x, y, w, h int64, a, b *joint) Panel {
	d.step++
	c := &Cut{Step: d.step, Upright: upright}
	p.Cut = c
	if upright {
		c.At = measure.Length(x + at - d.kerf)
		c.Parts = append(c.Parts, d.panel(a, x, y, at, h))
		x, w = x+at, w-at
	} else {
		c.At = measure.Length(y + at - d.kerf)
		c.Parts = append(c.Parts, d.panel(a, x, y, w, at))
		y, h = y+at, h-at
	}
	if w > d.kerf && h > d.kerf {
		c.Parts = append(c.Parts, d.panel(b, x, y, w, h))
	}
	return p
}
