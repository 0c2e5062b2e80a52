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

	"solander/packing"
	"solander/packing/planner/means"
	"solander/tariff"
)

// Kit is a problem made ready: lists sorted by id, so that their order in the problem does not matter,
// and references resolved.
type Kit struct {
	P      *packing.Problem
	Items  []*means.Item
	Wraps  []*means.Wrap
	cards  []*tariff.Card
	issued []string // classes for which packaging is issued; bit i of means.Item.Issued
	names  sync.Map // sets of them: uint64 to []string
	ways   map[packing.Place]*means.Way
	Track  []*means.Item // items whose stock is watched; item.track is the index
}

// NewKit makes a problem ready.
func NewKit(p *packing.Problem) *Kit {
	p = p.Held()
	k := &Kit{P: p, ways: map[packing.Place]*means.Way{}}
	k.cards = tariff.Select(p.Cards, p.PriceClasses, p.Day)
	for i := range p.Shelf {
		k.Items = append(k.Items, means.NewItem(&p.Shelf[i]))
	}
	slices.SortFunc(k.Items, func(a, b *means.Item) int { return strings.Compare(a.ID, b.ID) })
	for i, it := range k.Items {
		it.Index = i
		it.Issued = k.issuedBit(it.IssuedFor)
	}
	for i := range p.Wraps {
		k.Wraps = append(k.Wraps, means.NewWrap(&p.Wraps[i], k.Items))
	}
	slices.SortFunc(k.Wraps, func(a, b *means.Wrap) int { return strings.Compare(a.ID, b.ID) })
	for i, w := range k.Wraps {
		w.Index = i
	}
	return k
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

// way is every service that leads to a destination.
func (k *Kit) way(to packing.Place) *means.Way {
	if _, ok := k.ways[to]; !ok {
		k.ways[to] = means.WayTo(k.P, k.cards, to)
	}
	return k.ways[to]
}

// Work is what a parcel of n sheets costs in minutes.
func (k *Kit) Work(w *means.Wrap, n int) int64 {
	return int64(w.Minutes+w.MinutesPerSheet*n) * k.P.Options.MinuteWage
}
