// Package brute finds the best plan of a small problem by trying everything: each way to part an order
// into parcels, each wrap, item, cut size, axis and service. It is a helper for tests: slow, and without
// any thought of its own about what is cheaper. What a parcel is and costs it leaves to packing/check; it
// shares nothing with packing/planner.
//
// Parts of an order are joined by equal use of scarce items only, so nothing is left out on the ground
// that something else looks better.
package brute

import (
	"cmp"
	"iter"
	"maps"
	"slices"
	"strings"

	"solander/packing"
	"solander/packing/check"
)

// mostScarce is how many kinds of items with a stock a problem may have.
const mostScarce = 16

// uses counts the pieces of each item with a stock, in the order of the shelf.
type uses [mostScarce]int

// Search is the whole answer to a problem.
type Search struct {
	problem  *packing.Problem
	reckoner *check.Reckoner
	offers   []check.Offer
	scarce   map[string]int // item: place in uses
	stock    uses
	orders   []*parts // ascending by id; those that may share parcels together
	mats     map[string][]packing.Mat
}

// bare is a search that has tried nothing yet.
func bare(problem *packing.Problem) *Search {
	s := &Search{problem: problem.Held(), reckoner: check.NewReckoner(problem), scarce: map[string]int{}, mats: map[string][]packing.Mat{}}
	s.offers = s.reckoner.Offers()
	return s
}

// New tries everything. The problem must be small: at most sixteen items with a stock, and few sheets.
func New(problem *packing.Problem) *Search {
	s := bare(problem)
	for i := range problem.Shelf {
		if item := &problem.Shelf[i]; item.Stock != nil {
			s.stock[len(s.scarce)] = *item.Stock
			s.scarce[item.ID] = len(s.scarce)
		}
	}
	for _, joint := range together(problem) {
		s.orders = append(s.orders, s.part(joint))
	}
	return s
}

// together lists the orders, ascending by id, those that may share parcels in one list.
func together(problem *packing.Problem) [][]*packing.Order {
	var list []*packing.Order
	for i := range problem.Orders {
		list = append(list, &problem.Orders[i])
	}
	slices.SortFunc(list, func(a, b *packing.Order) int { return strings.Compare(a.ID, b.ID) })
	var out [][]*packing.Order
	at := map[string]int{}
	for _, o := range list {
		if i, known := at[o.Combine]; known && o.Combine != "" {
			out[i] = append(out[i], o)
			continue
		}
		at[o.Combine] = len(out)
		out = append(out, []*packing.Order{o})
	}
	return out
}

// worth is what a plan is judged by, in this order. Source: docs/formats/plan.md, section 1.
type worth struct {
	held    int
	cost    int64
	parcels int
	days    int
}

func (a worth) compare(b worth) int {
	return cmp.Or(cmp.Compare(a.held, b.held), cmp.Compare(a.cost, b.cost), cmp.Compare(a.parcels, b.parcels), cmp.Compare(a.days, b.days))
}

func (a worth) plus(b worth) worth {
	return worth{a.held + b.held, a.cost + b.cost, a.parcels + b.parcels, a.days + b.days}
}

// choice is a set of parcels with its worth.
type choice struct {
	worth
	parcels []*packing.Parcel
}

// table holds, for each use of the stock, the best set of parcels.
type table map[uses]choice

// offer keeps a and b together if nothing better is known for this use.
func (t table) offer(u uses, w worth, a, b []*packing.Parcel) {
	if old, known := t[u]; !known || w.compare(old.worth) < 0 {
		t[u] = choice{w, slices.Concat(a, b)}
	}
}

// each goes through a table in a fixed order, so that of equal sets of parcels always the same one is best.
func (t table) each() iter.Seq2[uses, choice] {
	keys := slices.Collect(maps.Keys(t))
	slices.SortFunc(keys, func(a, b uses) int { return slices.Compare(a[:], b[:]) })
	return func(yield func(uses, choice) bool) {
		for _, u := range keys {
			if !yield(u, t[u]) {
				return
			}
		}
	}
}

// both joins two uses; false when that is more than there is.
func (s *Search) both(a, b uses) (uses, bool) {
	for i := range a {
		a[i] += b[i]
		if a[i] > s.stock[i] {
			return a, false
		}
	}
	return a, true
}

// best is the best set of parcels for all orders together.
func (s *Search) best() choice {
	all := table{uses{}: {}}
	for _, o := range s.orders {
		next := table{}
		for u, c := range all.each() {
			next.offer(u, c.plus(worth{held: len(o.orders)}), c.parcels, nil)
			for v, d := range o.whole.each() {
				if w, ok := s.both(u, v); ok {
					next.offer(w, c.plus(d.worth), c.parcels, d.parcels)
				}
			}
		}
		all = next
	}
	return all.best()
}

func (t table) best() choice {
	first := true
	var best choice
	for _, c := range t.each() {
		if first || c.compare(best.worth) < 0 {
			first, best = false, c
		}
	}
	return best
}
