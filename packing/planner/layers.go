package planner

import (
	"solander/measure"
	"solander/packing"
	"solander/sheet"
	"solander/tariff"
)

// layer applies a layer that is not the last to every state.
func (x *fold) layer(list []state, l *layer) []state {
	var out []state
	for i := range list {
		pieces := l.count
		if l.per == packing.PerGap {
			if pieces *= x.gaps(&list[i]); pieces == 0 {
				out = keep(out, list[i], x.exact)
				continue
			}
		}
		for _, it := range l.items {
			if s, ok := x.within(&list[i], l, it, pieces); ok {
				x.sizes(&s, l, it, func(s state) { out = keep(out, s, x.exact) })
			}
		}
	}
	return out
}

// within looks whether a state fits into an item whatever its cut, and returns it with the item taken;
// the size inside is still that of the contents.
func (x *fold) within(s *state, l *layer, it *item, pieces int) (state, bool) {
	if g := x.gap(s, l, it); !g.ok() {
		x.missed(s, l, it, pieces, g, 0)
		return state{}, false
	}
	next, ok := x.take(*s, it, pieces)
	if !ok {
		return state{}, false
	}
	next.last = &choice{prev: s.last, layer: l.index, group: -1, item: it, count: pieces}
	return next, true
}

func (x *fold) gap(s *state, l *layer, it *item) gap {
	switch it.Kind {
	case packing.Sleeve, packing.Envelope:
		return l.holds(it, s.long, s.short, s.thick)
	case packing.Carton:
		return l.base(it, s.long, s.short)
	case packing.Tube:
		return x.bore(s, l, it)
	}
	return l.covers(it, max(s.long, s.short), min(s.long, s.short))
}

// core is the inner diameter of a roll at its tightest.
func (x *fold) core() measure.Length { return max(x.facts.core, x.w.Core) }

// bore looks whether a roll goes into a tube. A roll is looked at by its diameter first, as documented.
func (x *fold) bore(s *state, l *layer, it *item) gap {
	free := it.Diameter - l.Clearance.Across
	if !sheet.Fits(s.short, s.thick, x.core(), free) {
		if x.miss == nil {
			return gap{rule: ruleNames[packing.Tube][0]}
		}
		d := sheet.RollDiameter(s.short, s.thick, x.core())
		return gap{ruleNames[packing.Tube][0], d + l.Clearance.Across, it.Diameter, 0}
	}
	return fitting
}

// sizes calls done with the state as it is inside each allowed cut of an item.
func (x *fold) sizes(s *state, l *layer, it *item, done func(state)) {
	switch it.Kind {
	case packing.Carton:
		x.heights(s, l, it, done)
	case packing.Tube:
		x.lengths(s, l, it, done)
	default:
		next := s.grown(l, it, s.last.count)
		done(next)
	}
}

// heights tries the heights and bases of a carton. When smaller is always at least as good, the lowest that holds
// the contents is enough.
func (x *fold) heights(s *state, l *layer, it *item, done func(state)) {
	full := it.cuts[len(it.cuts)-1]
	for _, h := range it.cuts {
		if g := l.high(s.thick, h); !g.ok() {
			x.missed(s, l, it, 1, g, h)
			continue
		}
		for _, b := range x.standing(s, l, it) {
			next := s.grown(l, it, 1)
			next.long, next.short, next.thick = b.outLong, b.outShort, it.outHigh-(full-h)
			next.last = cutTo(s.last, h, full, nil).onBase(b)
			done(next)
		}
		if !x.exact.size {
			return
		}
	}
}

// lengths tries the lengths of a tube. See heights; of a tube wider than long a shorter one may have
// more girth, so that all are tried.
func (x *fold) lengths(s *state, l *layer, it *item, done func(state)) {
	full := it.cuts[len(it.cuts)-1]
	need := s.long + 2*l.Clearance.Ends
	lies := &rolled{axis: s.long, strip: s.short, pack: s.thick, inner: x.core()}
	for _, in := range it.cuts {
		if need > in {
			x.missed(s, l, it, 1, gap{ruleNames[packing.Tube][1], need, in, 1}, in)
			continue
		}
		next := s.grown(l, it, 1)
		long := it.outLength - (full - in)
		next.long, next.short, next.thick = max(long, it.outAcross), min(long, it.outAcross), it.outAcross
		next.last = cutTo(s.last, in, full, lies)
		done(next)
		if !x.exact.size && long >= it.outAcross {
			return
		}
	}
}

func cutTo(c *choice, size, full measure.Length, lies *rolled) *choice {
	out := *c
	out.roll = lies
	if size != full {
		out.cut = size
	}
	return &out
}

// last closes the parcel. What done is given is its own only as long as it runs.
func (x *fold) last(list []state, l *layer, done func(*final)) {
	var c final
	for i := range list {
		for _, it := range l.items {
			s, ok := x.within(&list[i], l, it, 1)
			if !ok {
				continue
			}
			x.sizes(&s, l, it, func(s state) {
				c = final{state: s, outer: it, size: tariff.SizeOf(s.long, s.short, s.thick), form: formOf(it)}
				done(&c)
			})
		}
	}
}
