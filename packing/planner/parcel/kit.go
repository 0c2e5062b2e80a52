// Package parcel finds the cheapest admissible parcel for one set of sheets: every wrap, item, cut, tier, axis and
// service at once. It folds the layers of each wrap from the inside out and keeps only what no other choice dominates,
// that is, beats in every respect; where stock is watched, the Pareto front over cost and what is taken of it.
//
// Lengths are nanometres, masses nanograms, money minor units of the problem's currency. It never splits a set of
// sheets, and nothing here may be pruned because "more sheets cost more": thresholds and class rules break that.
package parcel

import (
	"slices"
	"strings"
	"sync"

	"solander/measure"
	"solander/packing"
	"solander/packing/planner/tiers"
	"solander/tariff"
)

// Kit is a problem made ready: lists sorted by id, so that their order in the problem does not matter,
// and references resolved.
type Kit struct {
	P      *packing.Problem
	Items  []*Item
	Wraps  []*Wrap
	cards  []*tariff.Card
	issued []string // classes for which packaging is issued; bit i of item.issued
	names  sync.Map // sets of them: uint64 to []string
	ways   map[packing.Place]*way
	Track  []*Item // items whose stock is watched; item.track is the index
}

// Item is a shelf item; long and short are its inner sides sorted, and so are the outer ones.
type Item struct {
	*packing.Item
	Index                int
	Track                int // index into kit.track, -1 when not watched
	Long, Short          measure.Length
	OutLong, OutShort    measure.Length   // sleeve, envelope, carton
	OutHigh              measure.Length   // carton, uncut
	OutLength, OutAcross measure.Length   // tube, uncut
	Cuts                 []measure.Length // allowed inner heights or lengths, ascending
	issued               uint64
	lengths, widths      []measure.Length // carton: allowed inner sides of the base, ascending
	bases                []base           // carton: every base, the uncut one last
}

// Wrap is a wrap with its layers by stage.
type Wrap struct {
	*packing.Wrap
	Index      int
	Stages     []Layer
	keepsThick bool // a largest empty height makes thicker contents sometimes better
	Ground     []tiers.Footing
}

type Layer struct {
	*packing.Layer
	Index   int
	Each    packing.Per
	Number  int
	Choices []*Item
}

func NewKit(p *packing.Problem) *Kit {
	k := &Kit{P: p, ways: map[packing.Place]*way{}}
	k.cards = tariff.Select(p.Cards, p.PriceClasses, p.Day)
	for i := range p.Shelf {
		k.Items = append(k.Items, newItem(&p.Shelf[i]))
	}
	slices.SortFunc(k.Items, func(a, b *Item) int { return strings.Compare(a.ID, b.ID) })
	for i, it := range k.Items {
		it.Index = i
		it.issued = k.issuedBit(it.IssuedFor)
	}
	for i := range p.Wraps {
		k.Wraps = append(k.Wraps, k.newWrap(&p.Wraps[i]))
	}
	slices.SortFunc(k.Wraps, func(a, b *Wrap) int { return strings.Compare(a.ID, b.ID) })
	for i, w := range k.Wraps {
		w.Index = i
	}
	return k
}

func newItem(p *packing.Item) *Item {
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
		i.lengths, i.widths = p.CutBase.Sizes(p.Length, p.Width)
		for _, a := range i.lengths {
			for _, b := range i.widths {
				i.bases = append(i.bases, i.base(a, b))
			}
		}
	case packing.Tube:
		i.OutLength, i.OutAcross = p.OuterTube()
		i.Cuts = p.Cut.CutSizes(p.Length)
	}
	return i
}

func (k *Kit) issuedBit(class string) uint64 {
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
func (k *Kit) classes(set uint64) []string {
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

func (k *Kit) newWrap(p *packing.Wrap) *Wrap {
	w := &Wrap{Wrap: p}
	for i := range p.Layers {
		l := Layer{Layer: &p.Layers[i], Index: i, Each: p.Layers[i].Takes(), Number: p.Layers[i].Pieces()}
		for _, it := range k.Items {
			if it.Kind == l.Kind && (len(l.Items) == 0 || slices.Contains(l.Items, it.ID)) {
				l.Choices = append(l.Choices, it)
			}
		}
		w.keepsThick = w.keepsThick || l.Empty != nil
		w.Stages = append(w.Stages, l)
	}
	w.Ground = w.Footings()
	return w
}

// Work is what a parcel of n sheets costs in minutes.
func (k *Kit) Work(w *Wrap, n int) int64 {
	return int64(w.Minutes+w.MinutesPerSheet*n) * k.P.Options.MinuteWage
}
