package onesheet

import "math/bits"

// fields keeps a number for each kind within a few words: as many bits as its most needs, and one above them that is
// set when a sum goes over the most.
type fields struct {
	words int
	at    []int // bit at which the number of a kind begins, counted through all words
	over  []uint64
	rest  []uint64 // added to a number, it sets the bit above when that is over the most
}

func newFields(most []int) fields {
	var f fields
	at := 0
	for _, n := range most {
		if n == 0 {
			n = mostCopies - 1
		}
		size := bits.Len(uint(n))
		if at/64 != (at+size)/64 {
			at = (at/64 + 1) * 64
		}
		f.at = append(f.at, at)
		for len(f.over) <= at/64 {
			f.over, f.rest = append(f.over, 0), append(f.rest, 0)
		}
		f.over[at/64] |= 1 << ((at + size) % 64)
		f.rest[at/64] |= (1<<size - 1 - uint64(n)) << (at % 64)
		at += size + 1
	}
	f.words = len(f.over)
	return f
}

// one is a single piece of a kind.
func (f *fields) one(kind int) []uint64 {
	out := make([]uint64, f.words)
	out[f.at[kind]/64] = 1 << (f.at[kind] % 64)
	return out
}

// add sums two; false when there are more of a kind than may be.
func (f *fields) add(a, b, sum []uint64) bool {
	for i := range sum {
		sum[i] = a[i] + b[i]
		if (sum[i]+f.rest[i])&f.over[i] != 0 {
			return false
		}
	}
	return true
}
