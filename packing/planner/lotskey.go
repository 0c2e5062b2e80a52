package planner

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
		if l.n == 0 {
			continue
		}
		if l.id >= shortSizes || l.n > shortCopies {
			return longKey(lots)
		}
		key = key.with(l.id, l.n)
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
		if l.n > 0 {
			key = binary.AppendUvarint(key, uint64(l.id))
			key = binary.AppendUvarint(key, uint64(l.n))
		}
	}
	return lotsKey{long: string(key)}
}

// remembered is what is known of sets of leaves.
type remembered[T any] struct {
	few   map[uint64]T // of the first half of the short sizes
	short map[[2]uint64]T
	long  map[string]T
}

func newRemembered[T any]() remembered[T] {
	return remembered[T]{few: map[uint64]T{}, short: map[[2]uint64]T{}, long: map[string]T{}}
}

func (r *remembered[T]) get(k lotsKey) (T, bool) {
	if k.long != "" {
		v, ok := r.long[k.long]
		return v, ok
	}
	if k.high != 0 {
		v, ok := r.short[[2]uint64{k.low, k.high}]
		return v, ok
	}
	v, ok := r.few[k.low]
	return v, ok
}

func (r *remembered[T]) put(k lotsKey, v T) {
	switch {
	case k.long != "":
		r.long[k.long] = v
	case k.high != 0:
		r.short[[2]uint64{k.low, k.high}] = v
	default:
		r.few[k.low] = v
	}
}
