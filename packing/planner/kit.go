package planner

import (
	"slices"
	"strings"
	"sync"

	"solander/measure"
	"solander/packing"
	"solander/tariff"
)

// kit is a problem made ready: lists sorted by id, so that their order in the problem does not matter,
// and references resolved.
type kit struct {
	p      *packing.Problem
	items  []*item
	wraps  []*wrap
	cards  []*tariff.Card
	issued []string // classes for which packaging is issued; bit i of item.issued
	names  sync.Map // sets of them: uint64 to []string
	ways   map[packing.Place]*way
	track  []*item // items whose stock is watched; item.track is the index
}

// item is a shelf item; long and short are its inner sides sorted, and so are the outer ones.
type item struct {
	*packing.Item
	index                int
	track                int // index into kit.track, -1 when not watched
	long, short          measure.Length
	outLong, outShort    measure.Length   // sleeve, envelope, carton
	outHigh              measure.Length   // carton, uncut
	outLength, outAcross measure.Length   // tube, uncut
	cuts                 []measure.Length // allowed inner heights or lengths, ascending
	issued               uint64
	lengths, widths      []measure.Length // carton: allowed inner sides of the base, ascending
	bases                []base           // carton: every base, the uncut one last
}

// wrap is a wrap with its layers by stage.
type wrap struct {
	*packing.Wrap
	index      int
	layers     []layer
	keepsThick bool // a largest empty height makes thicker contents sometimes better
	ground     []footing
}

type layer struct {
	*packing.Layer
	index int
	per   packing.Per
	count int
	items []*item
}

func newKit(p *packing.Problem) *kit {
	k := &kit{p: p, ways: map[packing.Place]*way{}}
	k.cards = tariff.Select(p.Cards, p.PriceClasses, p.Day)
	for i := range p.Shelf {
		k.items = append(k.items, newItem(&p.Shelf[i]))
	}
	slices.SortFunc(k.items, func(a, b *item) int { return strings.Compare(a.ID, b.ID) })
	for i, it := range k.items {
		it.index = i
		it.issued = k.issuedBit(it.IssuedFor)
	}
	for i := range p.Wraps {
		k.wraps = append(k.wraps, k.newWrap(&p.Wraps[i]))
	}
	slices.SortFunc(k.wraps, func(a, b *wrap) int { return strings.Compare(a.ID, b.ID) })
	for i, w := range k.wraps {
		w.index = i
	}
	return k
}

func newItem(p *packing.Item) *item {
	i := &item{Item: p, track: -1, long: max(p.Width, p.Height), short: min(p.Width, p.Height)}
	switch p.Kind {
	case packing.Sleeve, packing.Envelope:
		w, h := p.OuterFlat()
		i.outLong, i.outShort = max(w, h), min(w, h)
	case packing.Carton:
		l, w, h := p.OuterBox()
		i.long, i.short = max(p.Length, p.Width), min(p.Length, p.Width)
		i.outLong, i.outShort, i.outHigh = max(l, w), min(l, w), h
		i.cuts = p.Cut.CutSizes(p.Height)
		i.lengths, i.widths = p.CutBase.Sizes(p.Length, p.Width)
		for _, a := range i.lengths {
			for _, b := range i.widths {
				i.bases = append(i.bases, i.base(a, b))
			}
		}
	case packing.Tube:
		i.outLength, i.outAcross = p.OuterTube()
		i.cuts = p.Cut.CutSizes(p.Length)
	}
	return i
}

func (k *kit) issuedBit(class string) uint64 {
	if class == "" {
		return 0
	}
	at := slices.Index(k.issued, class)
	if at < 0 {
		at = len(k.issued)
		k.issued = append(k.issued, class)
	}
	return 1 << at
}

// classes returns the classes of a set, ascending.
func (k *kit) classes(set uint64) []string {
	if set == 0 {
		return nil
	}
	if list, ok := k.names.Load(set); ok {
		return list.([]string)
	}
	var list []string
	for i, c := range k.issued {
		if set>>i&1 != 0 {
			list = append(list, c)
		}
	}
	slices.Sort(list)
	k.names.Store(set, list)
	return list
}

func (k *kit) newWrap(p *packing.Wrap) *wrap {
	w := &wrap{Wrap: p}
	for i := range p.Layers {
		l := layer{Layer: &p.Layers[i], index: i, per: p.Layers[i].Takes(), count: p.Layers[i].Pieces()}
		for _, it := range k.items {
			if it.Kind == l.Kind && (len(l.Items) == 0 || slices.Contains(l.Items, it.ID)) {
				l.items = append(l.items, it)
			}
		}
		w.keepsThick = w.keepsThick || l.Empty != nil
		w.layers = append(w.layers, l)
	}
	w.ground = w.footings()
	return w
}

// work is what a parcel of n sheets costs in minutes.
func (k *kit) work(w *wrap, n int) int64 {
	return int64(w.Minutes+w.MinutesPerSheet*n) * k.p.Options.MinuteWage
}
