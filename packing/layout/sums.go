package layout

import (
	"encoding/binary"
	"slices"
)

// most sums that are kept; with more of them the search goes without.
const mostSums = 4096

// sums knows the lengths that the pieces left can add up to along one axis.
type sums struct {
	q     *question
	axis  int
	limit int64
	known map[string]*sumset
	key   []byte
}

// sumset is sorted and begins with 0; nil holds every length.
type sumset []int64

func newSums(q *question, axis int) *sums {
	limit := q.w
	if axis == 1 {
		limit = q.h
	}
	return &sums{q: q, axis: axis, limit: limit}
}

// most returns the largest sum that is not over length.
func (s *sumset) most(length int64) int64 {
	if *s == nil {
		return length
	}
	i, ok := slices.BinarySearch(*s, length)
	if ok {
		return length
	}
	return (*s)[i-1]
}

// below returns the largest sum that is less than length, or -1.
func (s sumset) below(length int64) int64 {
	i, _ := slices.BinarySearch(s, length)
	if i == 0 {
		return -1
	}
	return s[i-1]
}

// of returns the sums of the pieces left, by kind.
func (s *sums) of(left []int) *sumset {
	key := s.key[:0]
	for _, n := range left {
		key = binary.AppendUvarint(key, uint64(n))
	}
	s.key = key
	if set, ok := s.known[string(key)]; ok {
		return set
	}
	set := s.compute(left)
	if s.known == nil {
		s.known = map[string]*sumset{}
	}
	if len(s.known) < 1<<14 {
		s.known[string(key)] = set
	}
	return set
}

func (s *sums) compute(left []int) *sumset {
	set := sumset{0}
	for i, n := range left {
		k := &s.q.kinds[i]
		for range n {
			before := len(set)
			base := set
			for _, way := range k.way[:k.ways] {
				set = s.with(set, base, way[s.axis])
			}
			if len(set) > mostSums {
				return new(sumset)
			}
			if len(set) == before { // one more of this kind adds nothing, nor does the next
				break
			}
		}
	}
	return &set
}

// with returns set and every sum of base with one more length.
func (s *sums) with(set, base sumset, length int64) sumset {
	out := make(sumset, 0, len(set)+len(base))
	i := 0
	for _, b := range base {
		v := b + length
		if v > s.limit {
			break
		}
		for i < len(set) && set[i] < v {
			out = append(out, set[i])
			i++
		}
		if i < len(set) && set[i] == v {
			continue
		}
		out = append(out, v)
	}
	return append(out, set[i:]...)
}
