// Package means knows what there is to pack with and to send by, made ready for the planner: packaging with its inner and
// outer sides, wraps by layer, whether contents fit into a piece, and the services that lead to a destination.
//
// Lengths are nanometres, money minor units. It chooses nothing and knows no order.
package means

import (
	"slices"

	"solander/measure"
	"solander/packing"
	"solander/packing/planner/tiers"
	"solander/tariff"
)

// Item is a shelf item; long and short are its inner sides sorted, and so are the outer ones.
type Item struct {
	*packing.Item
	Index                int
	Track                int // index among those that are watched, -1 when not watched
	Long, Short          measure.Length
	OutLong, OutShort    measure.Length   // sleeve, envelope, carton
	OutHigh              measure.Length   // carton, uncut
	OutLength, OutAcross measure.Length   // tube, uncut
	Cuts                 []measure.Length // allowed inner heights or lengths, ascending
	Issued               uint64           // the class it is issued for, as a bit; 0 = none
	Lengths, Widths      []measure.Length // carton: allowed inner sides of the base, ascending
	Bases                []Base           // carton: every base, the uncut one last
}

// Wrap is a wrap with its layers by stage.
type Wrap struct {
	*packing.Wrap
	Index      int
	Stages     []Layer
	KeepsThick bool // a largest empty height makes thicker contents sometimes better
	Ground     []tiers.Footing
	// Of a wrap of both shapes: the layers round the rolled and those round the flat, each as a wrap of its own, and the
	// first layer that goes round all.
	Rolled, Flat *Wrap
	Outer        int
}

// Layer is a layer of a wrap, with what may stand in it.
type Layer struct {
	*packing.Layer
	Index   int
	Each    packing.Per
	Number  int
	Choices []*Item
}

// NewItem makes a shelf item ready; its place and the bit of its class are given by whoever knows all.
func NewItem(p *packing.Item) *Item {
	i := &Item{Item: p, Track: -1, Long: max(p.Width, p.Height), Short: min(p.Width, p.Height)}
	switch p.Kind {
	case packing.Sleeve, packing.Envelope:
		w, h := p.OuterFlat()
		i.OutLong, i.OutShort = max(w, h), min(w, h)
	case packing.Carton:
		l, w, h := p.OuterBox()
		i.Long, i.Short = max(p.Length, p.Width), min(p.Length, p.Width)
		i.OutLong, i.OutShort, i.OutHigh = max(l, w), min(l, w), h
		i.Cuts = p.Cut.CutSizes(p.Height)
		i.Lengths, i.Widths = p.CutBase.Sizes(p.Length, p.Width)
		for _, a := range i.Lengths {
			for _, b := range i.Widths {
				i.Bases = append(i.Bases, i.BaseOf(a, b))
			}
		}
	case packing.Tube:
		i.OutLength, i.OutAcross = p.OuterTube()
		i.Cuts = p.Cut.CutSizes(p.Length)
	}
	return i
}

// NewWrap makes a wrap ready, with what may stand in its layers of some items.
func NewWrap(p *packing.Wrap, items []*Item) *Wrap {
	w := &Wrap{Wrap: p}
	for i := range p.Layers {
		l := Layer{Layer: &p.Layers[i], Index: i, Each: p.Layers[i].Takes(), Number: p.Layers[i].Pieces()}
		for _, it := range items {
			if it.Kind == l.Kind && (len(l.Items) == 0 || slices.Contains(l.Items, it.ID)) {
				l.Choices = append(l.Choices, it)
			}
		}
		w.KeepsThick = w.KeepsThick || l.Empty != nil
		w.Stages = append(w.Stages, l)
	}
	w.Settle()
	return w
}

// Settle works out what follows from the layers.
func (w *Wrap) Settle() {
	w.Ground = w.Footings()
	if w.Shape != packing.Both {
		return
	}
	w.Rolled, w.Flat = w.part(packing.Rolled), w.part(packing.Flat)
	w.Outer = len(w.Rolled.Stages) + len(w.Flat.Stages)
}

// part is the layers of a wrap of both shapes that go round one of them.
func (w *Wrap) part(shape packing.Shape) *Wrap {
	own := *w.Wrap
	own.Shape = shape
	out := &Wrap{Wrap: &own, Index: w.Index}
	for _, l := range w.Stages {
		if l.Of == shape {
			out.Stages = append(out.Stages, l)
		}
	}
	return out
}

// Within is the sheets, of a set of some groups, that a layer goes round: of a wrap of both shapes those that it rolls, or
// those that it lays flat.
func (w *Wrap) Within(of packing.Shape, set []int, first func(g int) *packing.Sheet) []int {
	if w.Shape != packing.Both || of == "" {
		return set
	}
	out := make([]int, len(set))
	for g, n := range set {
		if n > 0 && w.Rolls(first(g)) == (of == packing.Rolled) {
			out[g] = n
		}
	}
	return out
}

// Base is the base of a carton, cut or not.
type Base struct {
	Length, Width     measure.Length // inside
	Long, Short       measure.Length // inside
	OutLong, OutShort measure.Length
}

// BaseOf is the base cut down to an inner length and width.
func (i *Item) BaseOf(length, width measure.Length) Base {
	l, w, _ := i.OuterBox()
	l, w = l-(i.Length-length), w-(i.Width-width)
	return Base{length, width, max(length, width), min(length, width), max(l, w), min(l, w)}
}

// LeastBase returns outer sides that no base is below.
func (i *Item) LeastBase() (long, short measure.Length) {
	return i.Bases[0].OutLong, i.Bases[0].OutShort
}

// FormOf is the form of a parcel whose outermost packaging is the item.
func FormOf(it *Item) tariff.Form {
	if it.Kind == packing.Tube && !it.Cornered {
		return tariff.Cylinder
	}
	return tariff.Box
}
