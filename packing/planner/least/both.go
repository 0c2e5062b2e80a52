package least

import (
	"solander/measure"
	"solander/packing"
	"solander/packing/planner/means"
)

// leastBoth folds the layers of a wrap of both shapes but the last, as leastInner does; nil when nothing fits. Which sheets
// are in a parcel is not known, so that nothing is asked of the size of what goes into the layers of the rolled or of the
// flat alone. Thickness is that of what lies flat.
func (s *stencil) leastBoth(a *leastLayers) *leastLayers {
	rolled, flat := s.bothLeaves(a)
	if rolled == nil {
		return nil
	}
	a.beside(s.w)
	wide, narrow := a.long, a.short // what the largest sheets make of the contents of the carton
	a.long, a.short = 0, 0
	length, across, ok := s.leastRoll(a, rolled)
	if !ok {
		return nil
	}
	for i := range s.w.Flat.Stages {
		switch l := &s.w.Flat.Stages[i]; {
		case l.Each == packing.PerGap:
			a.gaps(l, flat)
		case l.Each == packing.PerStack && !a.inner(l):
			return nil
		}
	}
	// On or beside, along either side: no side of the contents is below that of the pack, or of the tube.
	a.long, a.short = max(a.long, wide, length, across), max(a.short, narrow, min(length, across))
	a.across, a.stiff = across, true
	for i := s.w.Outer; i < len(s.w.Stages)-1; i++ {
		if !a.inner(&s.w.Stages[i]) {
			return nil
		}
	}
	return a
}

// bothLeaves applies the layers per sheet to every group, and says which are rolled and which lie flat; nil when the
// profile cannot come about.
func (s *stencil) bothLeaves(a *leastLayers) (rolled, flat []bool) {
	n, p, mask := len(s.o.Groups), s.p, uint(0)
	c := &Class{Wrap: s.w, Profile: p, Allowed: make([]bool, n), Each: make([]int64, n), Mass: make([]measure.Mass, n), Thick: make([]measure.Length, n)}
	a.class = c
	rolled, flat = make([]bool, n), make([]bool, n)
	some := [2]bool{}
	wide, narrow := least{}, least{}
	for g := range s.o.Groups {
		group := &s.o.Groups[g]
		if !p.takes(group, s.grading.bits[g]) {
			continue
		}
		part, rolls := s.w.Flat, s.w.Rolls(group.First)
		if rolls {
			part = s.w.Rolled
		}
		long, short, ok := s.leastLeaf(group, perSheet(part), c, g)
		if !ok {
			continue
		}
		c.Allowed[g], rolled[g], flat[g] = true, rolls, !rolls
		mask |= s.grading.bits[g]
		if rolls {
			some[0], long, short = true, short, 0 // a tube is no shorter than one side of what is in it
		} else {
			if !some[1] || c.Thick[g] < a.thin {
				a.thin = c.Thick[g]
			}
			some[1] = true
		}
		if group.Leaf.Long() >= p.LongFrom {
			wide.take(long)
		}
		if group.Leaf.Short() >= p.ShortFrom {
			narrow.take(short)
		}
	}
	if !some[0] || !some[1] || !wide.some || !narrow.some || mask != p.Mask {
		return nil, nil
	}
	a.long, a.short = wide.length, narrow.length
	return rolled, flat
}

// least is the least of some lengths.
type least struct {
	length measure.Length
	some   bool
}

func (l *least) take(n measure.Length) {
	if !l.some || n < l.length {
		l.length, l.some = n, true
	}
}

// perSheet is the layers of a wrap that go round each sheet.
func perSheet(w *means.Wrap) []means.Layer {
	at := 0
	for at < len(w.Stages) && w.Stages[at].Each == packing.PerSheet {
		at++
	}
	return w.Stages[:at]
}

// leastRoll adds what the layers round the roll cost and weigh at least, and returns the least length and diameter of the
// tube outside.
func (s *stencil) leastRoll(a *leastLayers, rolled []bool) (length, across measure.Length, ok bool) {
	long, wide := least{}, least{}
	for i := range s.w.Rolled.Stages {
		l := &s.w.Rolled.Stages[i]
		switch {
		case l.Each == packing.PerGap:
			a.gaps(l, rolled)
		case l.Each == packing.PerStack:
			if len(l.Choices) == 0 {
				return 0, 0, false
			}
			a.cheapest(l)
		}
		for _, it := range l.Choices {
			if it.Kind == packing.Tube {
				long.take(it.OutLength - (it.Length - it.Cuts[0]))
				wide.take(it.OutAcross)
			}
		}
	}
	a.thick = 0 // it is in the tube
	for g := range rolled {
		if rolled[g] {
			a.class.Thick[g] = 0
		}
	}
	return long.length, wide.length, true
}

// cheapest adds what a layer costs and weighs at least, whichever of its items is taken.
func (a *leastLayers) cheapest(l *means.Layer) {
	cost, mass := l.Choices[0].Cost, l.Choices[0].Mass
	for _, it := range l.Choices {
		cost, mass = min(cost, it.Cost), min(mass, it.Mass)
	}
	a.cost += int64(l.Number) * cost
	a.mass += measure.Mass(l.Number) * mass
}
