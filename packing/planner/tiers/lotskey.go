package tiers

import "encoding/binary"

// Leaves are counted in so many places of four bits each, where that is enough.
const (
	shortSizes  = 32
	shortCopies = 15
)

// lotsKey tells sets of leaves of one spread apart: the number of each of the first sizes in four bits, or, when there are
// more, all of them as a text. It is exact, and quick, since it is asked for every way to part a set.
type lotsKey struct {
	low, high uint64
	long      string
}

func leavesKey(lots []lot) lotsKey {
	var key lotsKey
	for _, l := range lots {
		if l.N == 0 {
			continue
		}
		if l.id >= shortSizes || l.N > shortCopies {
			return longKey(lots)
		}
		key = key.with(l.id, l.N)
	}
	return key
}

// with is the key of as many more leaves of a size, or fewer; only of a short key, and within its bounds.
func (k lotsKey) with(id, n int) lotsKey {
	if id < shortSizes/2 {
		k.low += uint64(n) << (4 * id)
	} else {
		k.high += uint64(n) << (4 * (id - shortSizes/2))
	}
	return k
}

func longKey(lots []lot) lotsKey {
	key := make([]byte, 0, 4*len(lots)+1)
	key = append(key, 0) // never empty
	for _, l := range lots {
		if l.N > 0 {
			key = binary.AppendUvarint(key, uint64(l.id))
			key = binary.AppendUvarint(key, uint64(l.N))
		}
	}
	return lotsKey{long: string(key)}
}

// remembered is what is known of sets of leaves, none of them empty. Short keys are looked up several hundred times for
// every set of sheets, so they have a table of their own with open addresses, twice as quick as a map.
type remembered[T any] struct {
	table []place[T]
	taken int
	long  map[string]T
}

type place[T any] struct {
	low, high uint64 // 0, 0 = free
	is        T
}

func (r *remembered[T]) get(k lotsKey) (T, bool) {
	if k.long != "" {
		v, ok := r.long[k.long]
		return v, ok
	}
	if len(r.table) == 0 {
		var none T
		return none, false
	}
	p := r.place(k)
	return p.is, p.low == k.low && p.high == k.high
}

// place is where a short key stands, or the free place where it would.
func (r *remembered[T]) place(k lotsKey) *place[T] {
	mask := uint64(len(r.table) - 1)
	mixed := (k.low ^ k.high*0xff51afd7ed558ccd) * 0x9e3779b97f4a7c15
	for at := (mixed ^ mixed>>32) & mask; ; at = (at + 1) & mask {
		p := &r.table[at]
		if p.low == k.low && p.high == k.high || p.low == 0 && p.high == 0 {
			return p
		}
	}
}

func (r *remembered[T]) put(k lotsKey, v T) {
	if k.long != "" {
		if r.long == nil {
			r.long = map[string]T{}
		}
		r.long[k.long] = v
		return
	}
	if 2*(r.taken+1) > len(r.table) {
		old := r.table
		r.table = make([]place[T], max(16, 2*len(old)))
		for _, p := range old {
			if p.low != 0 || p.high != 0 {
				*r.place(lotsKey{low: p.low, high: p.high}) = p
			}
		}
	}
	p := r.place(k)
	if p.low == 0 && p.high == 0 {
		r.taken++
	}
	*p = place[T]{k.low, k.high, v}
}
