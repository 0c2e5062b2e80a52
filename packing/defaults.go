package packing

import "solander/measure"

// Number returns how many copies of the sheet there are: absent means one.
func (s *Sheet) Number() int { return max(s.Copies, 1) }

// EachMass returns the mass of one copy, rounded up to whole nanograms when it comes from a grammage.
func (s *Sheet) EachMass() measure.Mass {
	if s.Mass > 0 {
		return s.Mass
	}
	return s.Grammage.SheetMass(s.Width, s.Height)
}

// Alike reports whether two sheets of an order are equal in all but id, copies and note; which side is the width does
// not matter. Alike sheets of a parcel get the same packaging in layers per sheet.
func (s *Sheet) Alike(t *Sheet) bool {
	roll := func(r *Roll) measure.Length {
		if r == nil {
			return 0
		}
		return r.Tightest
	}
	return min(s.Width, s.Height) == min(t.Width, t.Height) && max(s.Width, s.Height) == max(t.Width, t.Height) && s.Caliper == t.Caliper && s.EachMass() == t.EachMass() &&
		s.Value == t.Value && s.Grade == t.Grade && roll(s.Roll) == roll(t.Roll) && s.Stiff == t.Stiff
}

// Pieces returns how many pieces the layer counts: absent means one.
func (l *Layer) Pieces() int { return max(l.Count, 1) }

// Takes returns what the layer counts pieces for: absent means the stack.
func (l *Layer) Takes() Per {
	if l.Per == "" {
		return PerStack
	}
	return l.Per
}

// Limits that stand when the options say nothing.
const (
	DefaultExactStates  = 65536
	DefaultRejectedMost = 12
)

// States returns the largest number of states of an order that is solved exactly.
func (o Options) States() int {
	if o.ExactStates == 0 {
		return DefaultExactStates
	}
	return o.ExactStates
}

// Rejections returns how many rejected options are listed for a parcel.
func (o Options) Rejections() int {
	if o.RejectedMost == nil {
		return DefaultRejectedMost
	}
	return *o.RejectedMost
}

// OuterFlat returns the outer width and height of a sleeve or an envelope.
func (i *Item) OuterFlat() (width, height measure.Length) {
	o := i.outer()
	return or(o.Width, i.Width+2*i.Wall), or(o.Height, i.Height+2*i.Wall)
}

// OuterTube returns the outer length, uncut, and the outer diameter of a tube.
func (i *Item) OuterTube() (length, diameter measure.Length) {
	o := i.outer()
	return or(o.Length, i.Length), or(o.Diameter, i.Diameter+2*i.Wall)
}

// OuterBox returns the outer length, width and, uncut, height of a carton.
func (i *Item) OuterBox() (length, width, height measure.Length) {
	o := i.outer()
	return or(o.Length, i.Length+2*i.Wall), or(o.Width, i.Width+2*i.Wall), or(o.Height, i.Height+2*i.Wall)
}

func (i *Item) outer() Outer {
	if i.Outer == nil {
		return Outer{}
	}
	return *i.Outer
}

func or(a, b measure.Length) measure.Length {
	if a > 0 {
		return a
	}
	return b
}

// CutSizes returns the inner sizes that a full size may have: the cut ones ascending, then the full one.
func (c *Cut) CutSizes(full measure.Length) []measure.Length {
	var out []measure.Length
	if c != nil && c.Step > 0 {
		for s := c.Shortest; s < full; s += c.Step {
			out = append(out, s)
		}
	}
	return append(out, full)
}
