package parcel

import (
	"slices"

	"solander/measure"
	"solander/packing"
	"solander/packing/planner/means"
	"solander/sheet"
	"solander/tariff"
)

// Fold wraps a set of sheets by one wrap, layer by layer, every choice of items at once.
type Fold struct {
	K     *Kit
	o     *Order
	W     *means.Wrap
	set   []int // copies of each group
	facts Facts
	exact fine
	part  bool // only what a wrap of both shapes rolls, or lays flat
	// miss, when not nil, is told of every choice that does not fit.
	Miss func(lies *Tiered, chain *Choice, l *means.Layer, it *means.Item, g means.Gap, sized measure.Length)
}

// Final is a closed parcel.
type Final struct {
	State
	Outer *means.Item
	Size  tariff.Size
	Form  tariff.Form
}

func (k *Kit) NewFold(o *Order, w *means.Wrap, set []int, f Facts) *Fold {
	x := &Fold{K: k, o: o, W: w, set: set, facts: f, exact: o.exact}
	x.exact.size = x.exact.size || w.KeepsThick
	return x
}

// Run calls done with every closed parcel that nothing beats. The wrap's counts and the sheets' leave to
// be rolled must have been looked at before.
func (x *Fold) Run(done func(*Final)) {
	list, at := x.contents()
	for ; at < len(x.W.Stages)-1 && len(list) > 0; at++ {
		list = x.layer(list, &x.W.Stages[at])
	}
	if len(list) > 0 {
		x.last(list, &x.W.Stages[at], done)
	}
}

// contents is what the layers from a place on go round.
func (x *Fold) contents() ([]State, int) {
	if x.W.Shape == packing.Both {
		return x.both(), x.W.Outer
	}
	at, leaves := x.leaves()
	if leaves == nil {
		return nil, at
	}
	return x.together(leaves), at
}

// leaves applies the layers per sheet to each group. It returns the number of the next layer and, for
// each group, the leaves to choose from; nil when some sheet fits nowhere. A leaf has the thickness and
// mass of one sheet, but the cost and use of all copies.
func (x *Fold) leaves() (int, [][]State) {
	out, bare := make([][]State, len(x.set)), make([]State, 0, x.kinds())
	for g, copies := range x.set {
		if copies > 0 {
			leaf := x.o.Groups[g].Leaf
			bare = append(bare, State{Long: leaf.Long(), Short: leaf.Short(), Thick: leaf.Thickness, Mass: leaf.Mass, Stiff: x.o.Groups[g].First.Stiff})
			out[g] = bare[len(bare)-1 : len(bare) : len(bare)]
		}
	}
	at := 0
	for ; at < len(x.W.Stages) && x.W.Stages[at].Each == packing.PerSheet; at++ {
		for g, copies := range x.set {
			if copies == 0 {
				continue
			}
			list := x.leafLayer(out[g], &x.W.Stages[at], g, copies)
			if len(list) == 0 {
				x.leafMissed(out, &x.W.Stages[at], g)
				return at, nil
			}
			out[g] = list
		}
	}
	return at, out
}

// kinds is how many groups there are copies of.
func (x *Fold) kinds() int {
	n := 0
	for _, copies := range x.set {
		n += min(copies, 1)
	}
	return n
}

func (x *Fold) leafLayer(list []State, l *means.Layer, g, copies int) []State {
	var out []State
	for i := range list {
		for _, it := range l.Choices {
			s := list[i]
			if !x.LeafGap(&s, l, it).Ok() {
				continue
			}
			mass := s.Mass + measure.Mass(l.Number)*it.Mass
			next, ok := x.take(s, it, l.Number*copies)
			if !ok {
				continue
			}
			next.Mass = mass
			next.Last = &Choice{Prev: s.Last, Layer: l.Index, Group: g, Item: it, Count: l.Number * copies}
			out = keep(out, next.Grown(l, it, l.Number), x.exact)
		}
	}
	return out
}

// leafMissed tells of every item that does not fit group g, the first group that none fits: the groups
// before it have got past the layer, those after it have not been looked at in it.
func (x *Fold) leafMissed(leaves [][]State, l *means.Layer, g int) {
	if x.Miss == nil {
		return
	}
	for i := range leaves[g] {
		for _, it := range l.Choices {
			var chain *Choice
			for h, list := range leaves {
				if h == g {
					chain = joined(chain, &Choice{Prev: list[i].Last, Layer: l.Index, Group: g, Item: it, Count: l.Number * x.set[g]})
				} else if len(list) > 0 {
					chain = joined(chain, list[0].Last)
				}
			}
			if gap := x.LeafGap(&leaves[g][i], l, it); !gap.Ok() {
				x.Miss(nil, chain, l, it, gap, 0)
			}
		}
	}
}

func (x *Fold) LeafGap(s *State, l *means.Layer, it *means.Item) means.Gap {
	if it.Kind == packing.Sleeve {
		return l.Holds(it, s.Long, s.Short, s.Thick)
	}
	return l.Covers(it, s.Long, s.Short)
}

// Grown returns s with the size it has inside so many pieces of a sleeve, tissue, board or envelope.
func (s State) Grown(l *means.Layer, it *means.Item, pieces int) State {
	switch it.Kind {
	case packing.Sleeve, packing.Envelope:
		s.Long, s.Short, s.Thick = it.OutLong, it.OutShort, s.Thick+2*it.Wall
	case packing.Board:
		s.Long, s.Short = it.Long, it.Short
		s.Thick += measure.Length(pieces) * it.Caliper
	case packing.Tissue:
		s.Thick += measure.Length(pieces) * it.Caliper
	}
	s.Stiff = s.Stiff || it.Stiff || it.Kind == packing.Carton || it.Kind == packing.Tube
	return s
}

// missed tells of an item round the stack that does not fit.
func (x *Fold) missed(s *State, l *means.Layer, it *means.Item, pieces int, g means.Gap, sized measure.Length) {
	if x.Miss == nil {
		return
	}
	chain := s.Last
	if chain == nil || chain.Layer != l.Index {
		chain = &Choice{Prev: chain, Layer: l.Index, Group: -1, Item: it, Count: pieces}
	}
	x.Miss(s.Lies, chain, l, it, g, sized)
}

// together lays the leaves of all groups on one another.
func (x *Fold) together(leaves [][]State) []State {
	if x.W.Shape == packing.Flat {
		list := x.lay(leaves, 0, nil)
		if len(x.W.Ground) > 0 && x.facts.N > 1 {
			list = x.beside(leaves, list)
		}
		return list
	}
	var out []State
	for _, axis := range axes(leaves) {
		out = x.lay(leaves, axis, out)
	}
	return out
}

// axes returns the distinct sides of all leaves, descending.
func axes(leaves [][]State) []measure.Length {
	var out []measure.Length
	for _, group := range leaves {
		for i := range group {
			out = append(out, group[i].Long, group[i].Short)
		}
	}
	slices.Sort(out)
	slices.Reverse(out)
	return slices.Compact(out)
}

// lay adds to out every stack of one leaf for each group, flat (axis 0) or wound on an axis.
func (x *Fold) lay(leaves [][]State, axis measure.Length, out []State) []State {
	list := []State{{Mass: x.base()}}
	var next []State
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

// base is what the parcel weighs besides its sheets and layers; of a part of it nothing.
func (x *Fold) base() measure.Mass {
	if x.part {
		return 0
	}
	return x.K.P.Base(x.W.Wrap)
}

// add lays so many copies of a leaf on a stack.
func (x *Fold) add(s, leaf *State, copies int, axis measure.Length) (State, bool) {
	out := State{Cost: s.Cost + leaf.Cost, issued: s.issued | leaf.issued, Stiff: s.Stiff || leaf.Stiff}
	one := sheet.Sheet{Width: leaf.Long, Height: leaf.Short, Thickness: leaf.Thick, Mass: leaf.Mass}
	if axis > 0 {
		w, ok := sheet.Wound{Axis: s.Long, Strip: s.Short, Thickness: s.Thick, Mass: s.Mass}.Wind(one, copies, axis)
		if !ok {
			return out, false
		}
		out.Long, out.Short, out.Thick, out.Mass = w.Axis, w.Strip, w.Thickness, w.Mass
	} else {
		k := sheet.Stack{Long: s.Long, Short: s.Short, Thickness: s.Thick, Mass: s.Mass}.Add(one, copies)
		out.Long, out.Short, out.Thick, out.Mass = k.Long, k.Short, k.Thickness, k.Mass
	}
	var ok bool
	out.use, ok = x.uses(s, leaf)
	out.Last = joined(s.Last, leaf.Last)
	return out, ok
}

// uses is what two states take of the watched items together, or false when that is more than there is.
func (x *Fold) uses(a, b *State) ([]int32, bool) {
	n := len(x.K.Track)
	if n == 0 || x.Miss != nil {
		return nil, true
	}
	out := make([]int32, n)
	for i, t := range x.K.Track {
		for _, u := range [][]int32{a.use, b.use} {
			if u != nil {
				out[i] += u[i]
			}
		}
		if int(out[i]) > *t.Stock {
			return out, false
		}
	}
	return out, true
}

// joined chains the choices of a leaf onto those of a stack.
func joined(chain, leaf *Choice) *Choice {
	if leaf == nil {
		return chain
	}
	c := *leaf
	c.Prev = joined(chain, leaf.Prev)
	return &c
}
