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
	return d.panel(j, field{0, 0, int64(w) + kerf, int64(h) + kerf})
}

// field is where a panel lies, in reckoned sizes.
type field struct{ x, y, w, h int64 }

func (d *drawing) panel(j *joint, f field) Panel {
	p := Panel{measure.Length(f.x), measure.Length(f.y), measure.Length(f.w - d.kerf), measure.Length(f.h - d.kerf), nil, -1}
	switch {
	case j == nil:
		return p
	case j.a != nil && j.upright:
		p.Cut = d.cut(f, true, j.a.w, j.a, j.b)
	case j.a != nil:
		p.Cut = d.cut(f, false, j.a.h, j.a, j.b)
	case j.w < f.w:
		p.Cut = d.cut(f, true, j.w, j, nil)
	case j.h < f.h:
		p.Cut = d.cut(f, false, j.h, j, nil)
	default:
		p.Piece = j.piece
	}
	return p
}

// cut is the guillotine cut through a panel at a reckoned length, with a before and b beyond it.
func (d *drawing) cut(f field, upright bool, at int64, a, b *joint) *Cut {
	d.step++
	c := &Cut{Step: d.step, Upright: upright}
	before, beyond := f, f
	if upright {
		c.At = measure.Length(f.x + at - d.kerf)
		before.w, beyond.x, beyond.w = at, f.x+at, f.w-at
	} else {
		c.At = measure.Length(f.y + at - d.kerf)
		before.h, beyond.y, beyond.h = at, f.y+at, f.h-at
	}
	c.Parts = append(c.Parts, d.panel(a, before))
	if beyond.w > d.kerf && beyond.h > d.kerf {
		c.Parts = append(c.Parts, d.panel(b, beyond))
	}
	return c
}
