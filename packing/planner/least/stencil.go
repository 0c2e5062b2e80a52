package least

import (
	"slices"

	"solander/measure"
	"solander/packing"
	"solander/packing/planner/means"
	"solander/packing/planner/parcel"
	"solander/sheet"
	"solander/tariff"
)

// stencil is what the templates of one wrap, for one profile and a range of copies, have in common.
type stencil struct {
	k        *parcel.Kit
	o        *parcel.Order
	w        *means.Wrap
	p        *Profile
	grading  grading
	from, to int             // copies
	rules    []*packing.Rule // that hold for every such parcel
}

// templates lists the templates of the stencil.
func (s stencil) templates() []*Template {
	if s.w.Most > 0 {
		s.to = min(s.to, s.w.Most)
	}
	if s.from > s.to || s.w.Fewest > s.to {
		return nil
	}
	if s.rules, s.to = s.certain(); s.from > s.to {
		return nil
	}
	a := s.leastInner()
	if a == nil {
		return nil
	}
	var out []*Template
	last := &s.w.Stages[len(s.w.Stages)-1]
	for _, it := range last.Choices {
		b := *a
		if !b.close(last, it) {
			continue
		}
		low := b.lowest(it, last)
		for _, of := range s.o.Way.Offers {
			if t := s.template(&b, it, of, &low); t != nil {
				out = append(out, t)
			}
		}
	}
	return out
}

// template is that of parcels closed by an item and sent by a service, none of them smaller than low; nil when there
// are none.
func (s *stencil) template(b *leastLayers, it *means.Item, of *means.Offer, low *tariff.Parcel) *Template {
	if !of.InTime(s.o.By(parcel.Facts{Orders: s.o.All, Any: true})) || it.IssuedFor != "" && it.IssuedFor != of.Service.Class {
		return nil
	}
	if slices.ContainsFunc(s.rules, func(r *packing.Rule) bool { return means.ForbidsClass(r, of.Service.Class) != nil }) {
		return nil
	}
	steps := of.Least(low, means.Asks(s.rules, 0))
	if len(steps) == 0 {
		return nil
	}
	t := &Template{Class: b.class, Fix: b.cost + s.k.Work(s.w, 0), Mass: b.mass, Thick: b.room, Steps: steps, Days: of.Days, Most: s.to}
	if slices.ContainsFunc(s.rules, func(r *packing.Rule) bool { return r.Then.FullCover }) {
		if t.Covered = of.Service.Cover; t.Covered == nil {
			t.Covered = &tariff.Cover{}
		}
	}
	return t
}

// certain lists the house rules that hold for every parcel of a template, and the copies that they leave: less
// than from when one forbids the wrap. A condition that a parcel may or may not meet leaves its rule out.
func (s *stencil) certain() (rules []*packing.Rule, most int) {
	most = s.to
	for i := range s.k.P.Rules {
		r := &s.k.P.Rules[i]
		c := r.When
		if c.ValueOver != nil && *c.ValueOver >= 0 || parcel.Weighs(&c) || c.SheetsFrom != nil && s.from < *c.SheetsFrom || c.SheetsTo != nil && s.to > *c.SheetsTo {
			continue
		}
		if at := slices.Index(s.grading.rules, r); len(c.Grades) > 0 && (at < 0 || s.p.Mask>>at&1 == 0) {
			continue
		}
		if c.LongestOver != nil && s.p.LongFrom <= *c.LongestOver || c.LongestTo != nil && s.p.Long > *c.LongestTo || c.Shape != "" && c.Shape != s.w.Shape {
			continue
		}
		c.Grades, c.LongestOver, c.LongestTo, c.ValueOver, c.Shape = nil, nil, nil, nil, ""
		f := parcel.Facts{N: max(s.from, 1), Orders: s.o.All, Any: true}
		if !s.k.Concerns(&c, s.o, nil, f) {
			continue
		}
		rules = append(rules, r)
		whole := *r
		whole.Then.Together = false // the parcel may be the whole order if the template goes so far
		if parcel.ForbidsWrap(&whole, s.o, f, s.w) != nil || r.Then.Together && s.to < s.o.Whole(f) {
			return nil, 0
		}
		if r.Then.SheetsMost != nil {
			most = min(most, *r.Then.SheetsMost)
		}
	}
	return rules, most
}

// leastInner folds all layers but the last, each with its best item in every respect at once; nil when
// nothing fits.
func (s *stencil) leastInner() *leastLayers {
	a := &leastLayers{room: -1, mass: s.k.P.Base(s.w.Wrap)}
	if s.w.Shape == packing.Both {
		return s.leastBoth(a)
	}
	at := s.leastLeaves(a)
	if at < 0 {
		return nil
	}
	a.beside(s.w)
	for ; at < len(s.w.Stages)-1; at++ {
		if !a.inner(&s.w.Stages[at]) {
			return nil
		}
	}
	return a
}

// leastLeaves applies the layers per sheet to every group; -1 when the profile cannot come about.
func (s *stencil) leastLeaves(a *leastLayers) int {
	o, w, p, bits := s.o, s.w, s.p, s.grading.bits
	n := len(o.Groups)
	c := &Class{Wrap: w, Profile: p, Allowed: make([]bool, n), Each: make([]int64, n), Mass: make([]measure.Mass, n), Thick: make([]measure.Length, n)}
	a.class = c
	at, mask, stiff := 0, uint(0), true
	for at < len(w.Stages) && w.Stages[at].Each == packing.PerSheet {
		at++
	}
	for g := range o.Groups {
		if !p.takes(&o.Groups[g], bits[g]) || w.Shape == packing.Rolled && o.Groups[g].First.Roll == nil {
			continue
		}
		long, short, ok := s.leastLeaf(&o.Groups[g], w.Stages[:at], c, g)
		if !ok {
			continue
		}
		first := a.thin == 0
		c.Allowed[g] = true
		mask |= bits[g]
		stiff = stiff && o.Groups[g].First.Stiff
		if l := o.Groups[g].Leaf; l.Long() >= p.LongFrom && (a.long == 0 || long < a.long) {
			a.long = long
		}
		if l := o.Groups[g].Leaf; l.Short() >= p.ShortFrom && (a.short == 0 || short < a.short) {
			a.short = short
		}
		if core := max(o.Groups[g].Core, w.Core); first || core < a.core {
			a.core = core
		}
		if first || c.Thick[g] < a.thin {
			a.thin = c.Thick[g]
		}
	}
	if a.long == 0 || a.short == 0 || mask != p.Mask {
		return -1
	}
	a.stiff = stiff
	return at
}

// leastLeaf wraps one copy of a group in the layers per sheet, each by the best item in every respect.
func (s *stencil) leastLeaf(g *parcel.Group, layers []means.Layer, c *Class, at int) (long, short measure.Length, ok bool) {
	leaf := parcel.State{Long: g.Leaf.Long(), Short: g.Leaf.Short(), Thick: g.Leaf.Thickness, Mass: g.Leaf.Mass}
	x := &parcel.Fold{K: s.k, W: s.w}
	each := int64(s.w.MinutesPerSheet) * s.k.P.Options.MinuteWage
	for i := range layers {
		l := &layers[i]
		best, found := parcel.State{}, false
		for _, it := range l.Choices {
			if !x.LeafGap(&leaf, l, it).Ok() {
				continue
			}
			next := leaf.Grown(l, it, l.Number)
			next.Mass += measure.Mass(l.Number) * it.Mass
			next.Cost = int64(l.Number) * it.Cost
			if !found {
				best, found = next, true
			}
			best.Long, best.Short, best.Thick = min(best.Long, next.Long), min(best.Short, next.Short), min(best.Thick, next.Thick)
			best.Mass, best.Cost = min(best.Mass, next.Mass), min(best.Cost, next.Cost)
		}
		if !found {
			return 0, 0, false
		}
		each += best.Cost
		leaf.Long, leaf.Short, leaf.Thick, leaf.Mass = best.Long, best.Short, best.Thick, best.Mass
	}
	c.Each[at], c.Mass[at], c.Thick[at] = each, leaf.Mass, leaf.Thick
	return leaf.Long, leaf.Short, true
}

// inner adds a layer that is not the last.
func (a *leastLayers) inner(l *means.Layer) bool {
	if l.Each == packing.PerGap {
		return a.gaps(l, a.class.Allowed)
	}
	best, found := leastLayers{}, false
	room := measure.Length(0)
	for _, it := range l.Choices {
		b := *a
		b.room = -1
		if !b.close(l, it) {
			continue
		}
		if !found {
			best, found = b, true
			room = b.room
			continue
		}
		best.long, best.short, best.thick = min(best.long, b.long), min(best.short, b.short), min(best.thick, b.thick)
		best.cost, best.mass, best.stiff = min(best.cost, b.cost), min(best.mass, b.mass), best.stiff && b.stiff
		if b.room < 0 || room >= 0 && b.room > room {
			room = b.room
		}
	}
	if !found {
		return false
	}
	if room >= 0 && (a.room < 0 || room < a.room) {
		a.room = room
	}
	best.room = a.room
	*a = best
	return true
}

// beside makes the leaves as thin as they count at least where so many may lie in a tier: a tier is as thick
// as its thickest leaf, which is no less than what they are on average.
func (a *leastLayers) beside(w *means.Wrap) {
	a.inTier = int64(w.InTier())
	for g := range a.class.Thick {
		a.class.Thick[g] /= measure.Length(a.inTier)
	}
}

// gaps spreads the layer in the gaps over the copies: of N copies in tiers of at most B there are N/B − 1 at
// least. Only copies of the groups named lie there.
func (a *leastLayers) gaps(l *means.Layer, of []bool) bool {
	if len(l.Choices) == 0 {
		return true // a parcel of one copy has no gap
	}
	cost, mass, thick := int64(-1), measure.Mass(0), measure.Length(0)
	for _, it := range l.Choices {
		if cost < 0 {
			cost, mass, thick = it.Cost, it.Mass, it.Caliper
		}
		cost, mass, thick = min(cost, it.Cost), min(mass, it.Mass), min(thick, it.Caliper)
	}
	n := int64(l.Number)
	for g, lies := range of {
		if !lies {
			continue
		}
		a.class.Each[g] += n * cost / a.inTier
		a.class.Mass[g] += measure.Mass(n) * mass / measure.Mass(a.inTier)
		a.class.Thick[g] += measure.Length(n) * thick / measure.Length(a.inTier)
	}
	a.cost -= n * cost
	a.mass -= measure.Mass(n) * mass
	a.thick -= measure.Length(n) * thick
	return true
}

// close puts an item round what there is; false when not even one thin sheet fits.
func (a *leastLayers) close(l *means.Layer, it *means.Item) bool {
	n := int64(l.Number)
	one := a.thick + a.thin
	switch it.Kind {
	case packing.Tissue, packing.Board:
		if !l.Covers(it, a.long, a.short).Ok() {
			return false
		}
		if it.Kind == packing.Board {
			a.long, a.short = it.Long, it.Short
		}
		a.thick += measure.Length(n) * it.Caliper
	case packing.Sleeve, packing.Envelope:
		if !l.Holds(it, a.long, a.short, one).Ok() {
			return false
		}
		if it.Thickest > 0 {
			a.limit(it.Thickest - l.Clearance.Thickness)
		}
		a.long, a.short = it.OutLong, it.OutShort
		a.thick += 2 * it.Wall
	case packing.Carton:
		if !l.Covers(it, a.long, a.short).Ok() || max(one, a.across)+l.Clearance.Thickness > it.Height {
			return false
		}
		a.limit(it.Height - l.Clearance.Thickness)
		a.long, a.short = it.LeastBase()
		a.thick = it.OutHigh - (it.Cuts[len(it.Cuts)-1] - it.Cuts[0])
		a.thin, a.closed = 0, true
	case packing.Tube:
		if !a.tube(l, it) {
			return false
		}
	}
	a.cost += n * it.Cost
	a.mass += measure.Mass(n) * it.Mass
	a.stiff = a.stiff || it.Stiff || it.Kind == packing.Carton || it.Kind == packing.Tube
	return true
}

// tube rolls up what there is: the longest side lies along the axis if the tube is long enough for it.
func (a *leastLayers) tube(l *means.Layer, it *means.Item) bool {
	strip, axis := a.short, a.short
	if a.long+2*l.Clearance.Ends > it.Length {
		strip = a.long
	}
	if axis+2*l.Clearance.Ends > it.Length {
		return false
	}
	free := it.Diameter - l.Clearance.Across
	if !sheet.Fits(strip, a.thick+a.thin, a.core, free) {
		return false
	}
	a.limit(tightestRoll(strip, a.core, free))
	long := it.OutLength - (it.Length - it.Cuts[0])
	for _, in := range it.Cuts {
		if in >= axis+2*l.Clearance.Ends {
			long = it.OutLength - (it.Length - in)
			break
		}
	}
	a.long, a.short, a.thick = max(long, it.OutAcross), min(long, it.OutAcross), it.OutAcross
	a.thin, a.closed = 0, true
	return true
}

// lowest is a parcel that none of the template is smaller than.
func (a *leastLayers) lowest(it *means.Item, l *means.Layer) tariff.Parcel {
	p := tariff.Parcel{Form: means.FormOf(it), Stiff: a.stiff, Container: it.Container}
	thick := a.thick
	if it.Kind == packing.Envelope {
		thick += a.thin
	}
	p.Size = tariff.SizeOf(a.long, a.short, max(thick, 1))
	return p
}
