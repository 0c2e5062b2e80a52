package onesheet

import "solander/measure"

// With a kerf k, lengths are reckoned one kerf larger, sheets and pieces alike: then a cut divides a length
// into two that add up to it, and what fits with kerfs between fits without. A panel of reckoned size w has
// real size w − k.

// Joint is a piece, or two joints side by side or above one another, in reckoned sizes.
type Joint struct {
	W, H    int64
	Piece   int // index of what was asked, when a is nil
	upright bool
	a, b    *Joint
}

// Join puts two joints side by side, or one above the other; a nil one is nothing.
func Join(a, b *Joint, upright bool) *Joint {
	switch {
	case a == nil:
		return b
	case b == nil:
		return a
	case upright:
		return &Joint{W: a.W + b.W, H: max(a.H, b.H), upright: true, a: a, b: b}
	}
	return &Joint{W: max(a.W, b.W), H: a.H + b.H, a: a, b: b}
}

// drawing turns a joint into panels and cuts.
type drawing struct {
	kerf int64
	step int
}

// Draw cuts a joint out of a sheet of real size w × h.
func Draw(j *Joint, w, h measure.Length, kerf int64) Panel {
	d := &drawing{kerf: kerf}
	return d.panel(j, field{0, 0, int64(w) + kerf, int64(h) + kerf})
}

// field is where a panel lies, in reckoned sizes.
type field struct{ x, y, w, h int64 }

func (d *drawing) panel(j *Joint, f field) Panel {
	p := Panel{measure.Length(f.x), measure.Length(f.y), measure.Length(f.w - d.kerf), measure.Length(f.h - d.kerf), nil, -1}
	switch {
	case j == nil:
		return p
	case j.a != nil && j.upright:
		p.Cut = d.cut(f, true, j.a.W, j.a, j.b)
	case j.a != nil:
		p.Cut = d.cut(f, false, j.a.H, j.a, j.b)
	case j.W < f.w:
		p.Cut = d.cut(f, true, j.W, j, nil)
	case j.H < f.h:
		p.Cut = d.cut(f, false, j.H, j, nil)
	default:
		p.Piece = j.Piece
	}
	return p
}

// cut is the guillotine cut through a panel at a reckoned length, with a before and b beyond it.
func (d *drawing) cut(f field, upright bool, at int64, a, b *Joint) *Cut {
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

// Count adds the pieces of a joint to numbers by index.
func (j *Joint) Count(out []int) {
	switch {
	case j == nil:
	case j.a == nil:
		out[j.Piece]++
	default:
		j.a.Count(out)
		j.b.Count(out)
	}
}

// Renamed gives the pieces other indices.
func (j *Joint) Renamed(asked []int) *Joint {
	if j == nil {
		return nil
	}
	out := *j
	if j.a == nil {
		out.Piece = asked[j.Piece]
	}
	out.a, out.b = j.a.Renamed(asked), j.b.Renamed(asked)
	return &out
}

// TakeFrom takes the pieces of a joint away and returns how many there were.
func (j *Joint) TakeFrom(left []int) int {
	if j == nil {
		return 0
	}
	if j.a == nil {
		left[j.Piece]--
		return 1
	}
	return j.a.TakeFrom(left) + j.b.TakeFrom(left)
}

// Within is a joint without the pieces that are not needed, which it takes away; nil when none is.
func (j *Joint) Within(left []int) *Joint {
	switch {
	case j == nil:
		return nil
	case j.a == nil:
		if left[j.Piece] == 0 {
			return nil
		}
		left[j.Piece]--
		return j
	}
	a := j.a.Within(left)
	return Join(a, j.b.Within(left), j.upright)
}
