package planner

import (
	"slices"

	"solander/measure"
	"solander/packing"
	"solander/sheet"
	"solander/tariff"
)

// fold wraps a set of sheets by one wrap, layer by layer, every choice of items at once.
type fold struct {
	k     *kit
	o     *order
	w     *wrap
	set   []int // copies of each group
	facts facts
	exact fine
	// miss, when not nil, is told of every choice that does not fit.
	miss func(lies *tiered, chain *choice, l *layer, it *item, g gap, sized measure.Length)
}

// final is a closed parcel.
type final struct {
	state
	outer *item
	size  tariff.Size
	form  tariff.Form
}

func (k *kit) newFold(o *order, w *wrap, set []int, f facts) *fold {
	x := &fold{k: k, o: o, w: w, set: set, facts: f, exact: o.exact}
	x.exact.size = x.exact.size || w.keepsThick
	return x
}

// run calls done with every closed parcel that nothing beats. The wrap's counts and the sheets' leave to
// be rolled must have been looked at before.
func (x *fold) run(done func(*final)) {
	at, leaves := x.leaves()
	if leaves == nil {
		return
	}
	list := x.together(leaves)
	for ; at < len(x.w.layers)-1 && len(list) > 0; at++ {
		list = x.layer(list, &x.w.layers[at])
	}
	if len(list) > 0 {
		x.last(list, &x.w.layers[at], done)
	}
}

// leaves applies the layers per sheet to each group. It returns the number of the next layer and, for
// each group, the leaves to choose from; nil when some sheet fits nowhere. A leaf has the thickness and
// mass of one sheet, but the cost and use of all copies.
func (x *fold) leaves() (int, [][]state) {
	out, bare := make([][]state, len(x.set)), make([]state, 0, x.kinds())
	for g, copies := range x.set {
		if copies > 0 {
			leaf := x.o.groups[g].leaf
			bare = append(bare, state{long: leaf.Long(), short: leaf.Short(), thick: leaf.Thickness, mass: leaf.Mass, stiff: x.o.groups[g].first.Stiff})
			out[g] = bare[len(bare)-1 : len(bare) : len(bare)]
		}
	}
	at := 0
	for ; at < len(x.w.layers) && x.w.layers[at].per == packing.PerSheet; at++ {
		for g, copies := range x.set {
			if copies == 0 {
				continue
			}
			list := x.leafLayer(out[g], &x.w.layers[at], g, copies)
			if len(list) == 0 {
				x.leafMissed(out, &x.w.layers[at], g)
				return at, nil
			}
			out[g] = list
		}
	}
	return at, out
}

// kinds is how many groups there are copies of.
func (x *fold) kinds() int {
	n := 0
	for _, copies := range x.set {
		n += min(copies, 1)
	}
	return n
}

func (x *fold) leafLayer(list []state, l *layer, g, copies int) []state {
	var out []state
	for i := range list {
		for _, it := range l.items {
			s := list[i]
			if !x.leafGap(&s, l, it).ok() {
				continue
			}
			mass := s.mass + measure.Mass(l.count)*it.Mass
			next, ok := x.take(s, it, l.count*copies)
			if !ok {
				continue
			}
			next.mass = mass
			next.last = &choice{prev: s.last, layer: l.index, group: g, item: it, count: l.count * copies}
			out = keep(out, next.grown(l, it, l.count), x.exact)
		}
	}
	return out
}

// leafMissed tells of every item that does not fit group g, the first group that none fits: the groups
// before it have got past the layer, those after it have not been looked at in it.
func (x *fold) leafMissed(leaves [][]state, l *layer, g int) {
	if x.miss == nil {
		return
	}
	for i := range leaves[g] {
		for _, it := range l.items {
			var chain *choice
			for h, list := range leaves {
				if h == g {
					chain = joined(chain, &choice{prev: list[i].last, layer: l.index, group: g, item: it, count: l.count * x.set[g]})
				} else if len(list) > 0 {
					chain = joined(chain, list[0].last)
				}
			}
			if gap := x.leafGap(&leaves[g][i], l, it); !gap.ok() {
				x.miss(nil, chain, l, it, gap, 0)
			}
		}
	}
}

func (x *fold) leafGap(s *state, l *layer, it *item) gap {
	if it.Kind == packing.Sleeve {
		return l.holds(it, s.long, s.short, s.thick)
	}
	return l.covers(it, s.long, s.short)
}

// grown returns s with the size it has inside so many pieces of a sleeve, tissue, board or envelope.
func (s state) grown(l *layer, it *item, pieces int) state {
	switch it.Kind {
	case packing.Sleeve, packing.Envelope:
		s.long, s.short, s.thick = it.outLong, it.outShort, s.thick+2*it.Wall
	case packing.Board:
		s.long, s.short = it.long, it.short
		s.thick += measure.Length(pieces) * it.Caliper
	case packing.Tissue:
		s.thick += measure.Length(pieces) * it.Caliper
	}
	s.stiff = s.stiff || it.Stiff || it.Kind == packing.Carton || it.Kind == packing.Tube
	return s
}

// missed tells of an item round the stack that does not fit.
func (x *fold) missed(s *state, l *layer, it *item, pieces int, g gap, sized measure.Length) {
	if x.miss == nil {
		return
	}
	chain := s.last
	if chain == nil || chain.layer != l.index {
		chain = &choice{prev: chain, layer: l.index, group: -1, item: it, count: pieces}
	}
	x.miss(s.lies, chain, l, it, g, sized)
}

// together lays the leaves of all groups on one another.
func (x *fold) together(leaves [][]state) []state {
	if x.w.Shape == packing.Flat {
		list := x.lay(leaves, 0, nil)
		if len(x.w.ground) > 0 && x.facts.n > 1 {
			list = x.beside(leaves, list)
		}
		return list
	}
	var out []state
	for _, axis := range axes(leaves) {
		out = x.lay(leaves, axis, out)
	}
	return out
}

// axes returns the distinct sides of all leaves, descending.
func axes(leaves [][]state) []measure.Length {
	var out []measure.Length
	for _, group := range leaves {
		for i := range group {
			out = append(out, group[i].long, group[i].short)
		}
	}
	slices.Sort(out)
	slices.Reverse(out)
	return slices.Compact(out)
}

// lay adds to out every stack of one leaf for each group, flat (axis 0) or wound on an axis.
func (x *fold) lay(leaves [][]state, axis measure.Length, out []state) []state {
	list := []state{{}}
	var next []state
	for g, copies := range x.set {
		if copies == 0 {
			continue
		}
		next = next[:0]
		for i := range list {
			for j := range leaves[g] {
				if s, ok := x.add(&list[i], &leaves[g][j], copies, axis); ok {
					next = keep(next, s, x.exact)
				}
			}
		}
		list, next = next, list
	}
	for i := range list {
		out = keep(out, list[i], x.exact)
	}
	return out
}

// add lays so many copies of a leaf on a stack.
func (x *fold) add(s, leaf *state, copies int, axis measure.Length) (state, bool) {
	out := state{cost: s.cost + leaf.cost, issued: s.issued | leaf.issued, stiff: s.stiff || leaf.stiff}
	one := sheet.Sheet{Width: leaf.long, Height: leaf.short, Thickness: leaf.thick, Mass: leaf.mass}
	if axis > 0 {
		w, ok := sheet.Wound{Axis: s.long, Strip: s.short, Thickness: s.thick, Mass: s.mass}.Wind(one, copies, axis)
		if !ok {
			return out, false
		}
		out.long, out.short, out.thick, out.mass = w.Axis, w.Strip, w.Thickness, w.Mass
	} else {
		k := sheet.Stack{Long: s.long, Short: s.short, Thickness: s.thick, Mass: s.mass}.Add(one, copies)
		out.long, out.short, out.thick, out.mass = k.Long, k.Short, k.Thickness, k.Mass
	}
	if n := len(x.k.track); n > 0 && x.miss == nil {
		out.use = make([]int32, n)
		for i, t := range x.k.track {
			for _, u := range [][]int32{s.use, leaf.use} {
				if u != nil {
					out.use[i] += u[i]
				}
			}
			if int(out.use[i]) > *t.Stock {
				return out, false
			}
		}
	}
	out.last = joined(s.last, leaf.last)
	return out, true
}

// joined chains the choices of a leaf onto those of a stack.
func joined(chain, leaf *choice) *choice {
	if leaf == nil {
		return chain
	}
	c := *leaf
	c.prev = joined(chain, leaf.prev)
	return &c
}
