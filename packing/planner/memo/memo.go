// Package memo remembers the best parcels of the sets of sheets of one order that were looked at, for searches that come
// back to the same set. It forgets all when it holds too much; what it answers does not depend on that. What a parcel costs it
// asks packing/planner/parcel, in minor units. Not for several goroutines at once: each has its own.
package memo

import (
	"slices"

	"solander/packing/planner/means"
	"solander/packing/planner/parcel"
)

// most bounds what is remembered, in groups of sheets: each takes some hundred bytes.
const most = 250_000

// Parcels is what is known of one order.
type Parcels struct {
	k    *parcel.Kit
	o    *parcel.Order
	seen map[string][]parcel.Pick
}

// New knows nothing yet.
func New(k *parcel.Kit, o *parcel.Order) *Parcels {
	return &Parcels{k: k, o: o, seen: map[string][]parcel.Pick{}}
}

// Of returns the best single parcels of a set, so many copies of each group.
func (m *Parcels) Of(set []int) []parcel.Pick {
	return m.known(Key(set), len(set), func() []parcel.Pick { return m.k.Picks(m.o, slices.Clone(set)) })
}

// By returns the best parcel of a set by one wrap; none when the wrap does not suit it.
func (m *Parcels) By(set []int, w *means.Wrap) []parcel.Pick {
	return m.known(Key(append(slices.Clone(set), w.Index)), len(set), func() []parcel.Pick {
		f := m.o.Facts(set)
		if !m.o.Suits(w, set, f) {
			return nil
		}
		own := slices.Clone(set)
		return m.k.PicksBy(m.o, own, f, m.k.Concerned(m.o, own, f), w, nil)
	})
}

func (m *Parcels) known(key string, groups int, find func() []parcel.Pick) []parcel.Pick {
	if p, ok := m.seen[key]; ok {
		return p
	}
	if len(m.seen)*groups > most {
		clear(m.seen)
	}
	p := find()
	m.seen[key] = p
	return p
}

// Key tells sets of one length apart, of less than 65 536 copies of each group.
func Key(set []int) string {
	key := make([]byte, 0, 2*len(set))
	for _, n := range set {
		key = append(key, byte(n), byte(n>>8))
	}
	return string(key)
}
