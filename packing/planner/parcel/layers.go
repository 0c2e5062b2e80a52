package parcel

import (
	"solander/measure"
	"solander/packing"
	"solander/packing/planner/means"
	"solander/sheet"
	"solander/tariff"
)

// layer applies a layer that is not the last to every state.
func (x *Fold) layer(list []State, l *means.Layer) []State {
	var out []State
	for i := range list {
		pieces := l.Number
		if l.Each == packing.PerGap {
			if pieces *= x.gaps(&list[i]); pieces == 0 {
				out = keep(out, list[i], x.exact)
				continue
			}
		}
		for _, it := range l.Choices {
			if s, ok := x.within(&list[i], l, it, pieces); ok {
				x.sizes(&s, l, it, func(s State) { out = keep(out, s, x.exact) })
			}
		}
	}
	return out
}

// within looks whether a state fits into an item whatever its cut, and returns it with the item taken;
// the size inside is still that of the contents.
func (x *Fold) within(s *State, l *means.Layer, it *means.Item, pieces int) (State, bool) {
	if g := x.gap(s, l, it); !g.Ok() {
		x.missed(s, l, it, pieces, g, 0)
		return State{}, false
	}
	next, ok := x.take(*s, it, pieces)
	if !ok {
		return State{}, false
	}
	next.Last = &Choice{Prev: s.Last, Layer: l.Index, Group: -1, Item: it, Count: pieces}
	return next, true
}

func (x *Fold) gap(s *State, l *means.Layer, it *means.Item) means.Gap {
	switch it.Kind {
	case packing.Sleeve, packing.Envelope:
		return l.Holds(it, s.Long, s.Short, s.Thick)
	case packing.Carton:
		return l.Covers(it, s.Long, s.Short)
	case packing.Tube:
		return x.bore(s, l, it)
	}
	return l.Covers(it, max(s.Long, s.Short), min(s.Long, s.Short))
}

// core is the inner diameter of a roll at its tightest.
func (x *Fold) core() measure.Length { return max(x.facts.core, x.W.Core) }

// bore looks whether a roll goes into a tube. A roll is looked at by its diameter first, as documented.
func (x *Fold) bore(s *State, l *means.Layer, it *means.Item) means.Gap {
	free := it.Diameter - l.Clearance.Across
	if !sheet.Fits(s.Short, s.Thick, x.core(), free) {
		if x.Miss == nil {
			return means.Gap{Rule: means.RuleNames[packing.Tube][0]}
		}
		d := sheet.RollDiameter(s.Short, s.Thick, x.core())
		return means.Gap{Rule: means.RuleNames[packing.Tube][0], Got: d + l.Clearance.Across, Limit: it.Diameter}
	}
	return means.Gap{}
}

// sizes calls done with the state as it is inside each allowed cut of an item.
func (x *Fold) sizes(s *State, l *means.Layer, it *means.Item, done func(State)) {
	switch it.Kind {
	case packing.Carton:
		x.heights(s, l, it, done)
	case packing.Tube:
		x.lengths(s, l, it, done)
	default:
		next := s.Grown(l, it, s.Last.Count)
		done(next)
	}
}

// heights tries the heights and bases of a carton. When smaller is always at least as good, the lowest that holds
// the contents is enough.
func (x *Fold) heights(s *State, l *means.Layer, it *means.Item, done func(State)) {
	full := it.Cuts[len(it.Cuts)-1]
	for _, h := range it.Cuts {
		if g := l.High(s.Thick, h); !g.Ok() {
			x.missed(s, l, it, 1, g, h)
			continue
		}
		for _, b := range l.Standing(it, s.Long, s.Short, x.exact.size) {
			next := s.Grown(l, it, 1)
			next.Long, next.Short, next.Thick = b.OutLong, b.OutShort, it.OutHigh-(full-h)
			next.Last = cutTo(s.Last, h, full, nil).onBase(b)
			done(next)
		}
		if !x.exact.size {
			return
		}
	}
}

// lengths tries the lengths of a tube. See heights; of a tube wider than long a shorter one may have
// more girth, so that all are tried.
func (x *Fold) lengths(s *State, l *means.Layer, it *means.Item, done func(State)) {
	full := it.Cuts[len(it.Cuts)-1]
	need := s.Long + 2*l.Clearance.Ends
	lies := &Rolled{Axis: s.Long, Strip: s.Short, Pack: s.Thick, Inner: x.core()}
	for _, in := range it.Cuts {
		if need > in {
			x.missed(s, l, it, 1, means.Gap{Rule: means.RuleNames[packing.Tube][1], Got: need, Limit: in, Rank: 1}, in)
			continue
		}
		next := s.Grown(l, it, 1)
		long := it.OutLength - (full - in)
		next.Long, next.Short, next.Thick = max(long, it.OutAcross), min(long, it.OutAcross), it.OutAcross
		if x.part {
			next.Long, next.Short = long, it.OutAcross // what it comes to lie beside must know which is which
		}
		next.Last = cutTo(s.Last, in, full, lies)
		done(next)
		if !x.exact.size && long >= it.OutAcross {
			return
		}
	}
}

func cutTo(c *Choice, size, full measure.Length, lies *Rolled) *Choice {
	out := *c
	out.Roll = lies
	if size != full {
		out.Cut = size
	}
	return &out
}

// onBase returns the choice with the base that was cut.
func (c *Choice) onBase(b means.Base) *Choice {
	if b.Length != c.Item.Length {
		c.Length = b.Length
	}
	if b.Width != c.Item.Width {
		c.Width = b.Width
	}
	return c
}

// last closes the parcel. What done is given is its own only as long as it runs.
func (x *Fold) last(list []State, l *means.Layer, done func(*Final)) {
	var c Final
	for i := range list {
		for _, it := range l.Choices {
			s, ok := x.within(&list[i], l, it, 1)
			if !ok {
				continue
			}
			x.sizes(&s, l, it, func(s State) {
				c = Final{State: s, Outer: it, Size: tariff.SizeOf(s.Long, s.Short, s.Thick), Form: means.FormOf(it)}
				done(&c)
			})
		}
	}
}
