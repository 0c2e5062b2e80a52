package parcel

import "solander/measure"

// base is the base of a carton, cut or not.
type base struct {
	length, width     measure.Length // inside
	long, short       measure.Length // inside
	outLong, outShort measure.Length
}

func (i *Item) base(length, width measure.Length) base {
	l, w, _ := i.OuterBox()
	l, w = l-(i.Length-length), w-(i.Width-width)
	return base{length, width, max(length, width), min(length, width), max(l, w), min(l, w)}
}

// LeastBase returns outer sides that no base is below.
func (i *Item) LeastBase() (long, short measure.Length) {
	return i.bases[0].outLong, i.bases[0].outShort
}

// standing returns the bases to try for contents that go into the whole carton. When smaller is always at
// least as good, the least is enough, with the longer side of the contents along its length or along its width.
func (x *Fold) standing(s *State, l *Layer, it *Item) []base {
	if len(it.bases) == 1 {
		return it.bases
	}
	long, short := s.Long+2*l.Clearance.Sides, s.Short+2*l.Clearance.Sides
	var out []base
	if x.exact.size {
		for _, b := range it.bases {
			if b.long >= long && b.short >= short {
				out = append(out, b)
			}
		}
		return out
	}
	for _, need := range [2][2]measure.Length{{long, short}, {short, long}} {
		a, b := atLeast(it.lengths, need[0]), atLeast(it.widths, need[1])
		if a > 0 && b > 0 {
			out = append(out, it.base(a, b))
		}
	}
	if len(out) == 2 {
		for i := range out {
			if a, b := out[i], out[1-i]; a.outLong <= b.outLong && a.outShort <= b.outShort {
				return out[i : i+1]
			}
		}
	}
	return out
}

// atLeast is the first of ascending sizes that is not below a length, or 0.
func atLeast(sizes []measure.Length, least measure.Length) measure.Length {
	for _, s := range sizes {
		if s >= least {
			return s
		}
	}
	return 0
}

// onBase returns the choice with the base that was cut.
func (c *Choice) onBase(b base) *Choice {
	if b.length != c.Item.Length {
		c.Length = b.length
	}
	if b.width != c.Item.Width {
		c.Width = b.width
	}
	return c
}
