package check

import (
	"fmt"
	"slices"

	"solander/packing"
)

// mostEach is no fewer pieces of one item than a parcel takes for a copy: eight layers of eight pieces.
const mostEach = 64

// way is the search for some way to send an order, by trying everything until mostPacked.
type way struct {
	r      *Reckoner
	order  *packing.Order
	sheets []string // ids, ascending
	scarce []*packing.Item
	offers []Offer
	single map[string][]uses // contents: of admissible parcels
	whole  map[string][]uses // contents: of sets of parcels
	tried  int
	choice packing.Parcel
	found  []uses
}

// uses is how many pieces are taken of each scarce item.
type uses []int

func unite(list []uses, more ...uses) []uses {
	for _, u := range more {
		if !slices.ContainsFunc(list, func(v uses) bool { return slices.Equal(u, v) }) {
			list = append(list, u)
		}
	}
	return list
}

// sum joins two uses; false when that is more than there is.
func (w *way) sum(a, b uses) (uses, bool) {
	out := slices.Clone(a)
	for i, it := range w.scarce {
		if out[i] += b[i]; out[i] > *it.Stock {
			return nil, false
		}
	}
	return out, true
}

// split returns what the ways to send copies of the order's sheets take of the shelf.
func (w *way) split(left []int) []uses {
	key := fmt.Sprint(left)
	if out, ok := w.whole[key]; ok {
		return out
	}
	var out []uses
	part := make([]int, len(left))
	w.parts(left, part, 0, func() {
		rest := slices.Clone(left)
		empty := true
		for i, n := range part {
			rest[i] -= n
			empty = empty && rest[i] == 0
		}
		one := w.parcels(part)
		if empty {
			out = unite(out, one...)
			return
		}
		if len(one) == 0 {
			return
		}
		for _, u := range one {
			for _, v := range w.split(rest) {
				if sum, ok := w.sum(u, v); ok {
					out = unite(out, sum)
				}
			}
		}
	})
	w.whole[key] = out
	return out
}

// parts calls do with every part of the copies that are left which holds one of the first sheet left.
func (w *way) parts(left, part []int, at int, do func()) {
	if at == len(left) {
		do()
		return
	}
	least := 0
	if left[at] > 0 && !slices.ContainsFunc(left[:at], func(n int) bool { return n > 0 }) {
		least = 1
	}
	for n := least; n <= left[at]; n++ {
		part[at] = n
		w.parts(left, part, at+1, do)
	}
}

// parcels returns what the admissible parcels of so many copies take of the shelf.
func (w *way) parcels(copies []int) []uses {
	key := fmt.Sprint(copies)
	if out, ok := w.single[key]; ok {
		return out
	}
	w.found = nil
	var contents []packing.Content
	for i, n := range copies {
		if n > 0 {
			contents = append(contents, packing.Content{Order: w.order.ID, Sheet: w.sheets[i], Copies: n})
		}
	}
	for i := range w.r.problem.Wraps {
		wrap := &w.r.problem.Wraps[i]
		w.choice = packing.Parcel{Order: w.order.ID, Contents: contents, Wrap: wrap.ID}
		w.lay(wrap)
		w.fill(wrap, 0)
	}
	w.single[key] = w.found
	return w.found
}

// lay lists the entries of the layers of a wrap, without items.
func (w *way) lay(wrap *packing.Wrap) {
	copies := 0
	for _, c := range w.choice.Contents {
		copies += c.Copies
	}
	for li := range wrap.Layers {
		l := &wrap.Layers[li]
		piecesOf(wrap, l, w.choice.Contents, copies, w.sheet, func(of packing.Content, pieces int) bool {
			w.choice.Layers = append(w.choice.Layers, packing.LayerPlan{Layer: li, Kind: l.Kind, Count: pieces, Sheet: of.Sheet})
			return true
		})
	}
}

func (w *way) sheet(c packing.Content) *packing.Sheet { return sheetOf(w.order, c.Sheet) }

// enough reports that nothing more need be tried for these contents, or may be.
func (w *way) enough() bool { return w.tried > mostPacked || len(w.scarce) == 0 && len(w.found) > 0 }

// fill tries every item and every cut for the entries from the i-th on.
func (w *way) fill(wrap *packing.Wrap, i int) {
	if w.enough() {
		return
	}
	if i == len(w.choice.Layers) {
		w.turn(wrap)
		return
	}
	e := &w.choice.Layers[i]
	for at := range w.r.problem.Shelf {
		it := &w.r.problem.Shelf[at]
		if it.Kind != e.Kind || it.Stock != nil && *it.Stock < e.Count || len(wrap.Layers[e.Layer].Items) > 0 && !slices.Contains(wrap.Layers[e.Layer].Items, it.ID) {
			continue
		}
		e.Item = it.ID
		for range cuts(e, it) {
			if w.fill(wrap, i+1); w.enough() {
				break
			}
		}
	}
}

// turn tries every side that a leaf may have as the axis.
func (w *way) turn(wrap *packing.Wrap) {
	for _, w.choice.Roll = range w.r.rolls(wrap, &w.choice, w.sheet) {
		w.try()
	}
}

// try notes what the choice takes of the shelf when some service carries it.
func (w *way) try() {
	if w.enough() {
		return
	}
	w.tried++
	p, why := w.r.Pack(&w.choice)
	if why != nil {
		return
	}
	u := w.uses()
	if slices.ContainsFunc(w.found, func(v uses) bool { return slices.Equal(u, v) }) {
		return
	}
	for _, o := range w.offers {
		if _, broken := w.r.Send(p, o); broken == nil {
			w.found = append(w.found, u)
			return
		}
	}
}

func (w *way) uses() uses {
	out := make(uses, len(w.scarce))
	for i, it := range w.scarce {
		for _, e := range w.choice.Layers {
			if e.Item == it.ID {
				out[i] += e.Count
			}
		}
	}
	return out
}
