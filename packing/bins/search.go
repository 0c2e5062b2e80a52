package bins

import (
	"cmp"
	"context"
	"slices"
)

// The search fills one bin after the other: each takes the largest size left and every set of others beside
// it that wastes no more than all bins together may (R. Korf, "An improved algorithm for optimal bin
// packing", 2003). A set is passed over when a better one serves: when another size still fits in, or when
// one size left over, no smaller and within the waste, could take the place of one or of two of the set,
// which then go where it would have gone. Sizes are counted by value, so that equal ones are not told apart.
type search struct {
	ctx      context.Context
	capacity int64
	value    []int64 // distinct, the largest first
	left     []int
	slack    int64 // that may still be wasted
	bins     [][]int
	steps    int
	limit    int
	cut      bool
	most     bool    // sets of many small sizes first, rather than of few large ones
	deepest  [][]int // the most bins filled so far
}

func newSearch(ctx context.Context, capacity int64, sorted []int64, n int) *search {
	s := &search{ctx: ctx, capacity: capacity, slack: int64(n) * capacity}
	for i, v := range sorted {
		if i == 0 || v != sorted[i-1] {
			s.value, s.left = append(s.value, v), append(s.left, 0)
		}
		s.left[len(s.left)-1]++
		s.slack -= v
	}
	return s
}

// set is values, by index, and what they leave free.
type set struct {
	values []int
	free   int64
}

func (s *search) tick() bool {
	s.steps++
	if s.steps > s.limit || s.ctx.Err() != nil {
		s.cut = true
	}
	return !s.cut
}

// fill fills n bins with all that is left.
func (s *search) fill(n int) bool {
	first := slices.IndexFunc(s.left, func(n int) bool { return n > 0 })
	if first < 0 {
		return true
	}
	if len(s.bins) > len(s.deepest) {
		s.deepest = append(s.deepest[:0], s.bins...)
	}
	if n == 0 || s.slack < 0 || !s.tick() {
		return false
	}
	s.left[first]--
	defer func() { s.left[first]++ }()
	for _, set := range s.sets(first) {
		if s.cut {
			return false
		}
		s.take(set, -1)
		s.bins = append(s.bins, append([]int{first}, set.values...))
		if s.fill(n - 1) {
			return true
		}
		s.bins = s.bins[:len(s.bins)-1]
		s.take(set, 1)
	}
	return false
}

func (s *search) take(set set, by int) {
	for _, v := range set.values {
		s.left[v] += by
	}
	s.slack += int64(by) * set.free
}

// sets lists what can go beside the value first, the least waste first.
func (s *search) sets(first int) []set {
	var out []set
	smallest := len(s.left) - 1
	for smallest > 0 && s.left[smallest] == 0 {
		smallest--
	}
	var chosen []int
	var add func(from int, free int64)
	add = func(from int, free int64) {
		s.steps++
		if s.left[smallest] == 0 || s.value[smallest] > free {
			if free <= s.slack && !s.dominated(chosen, free) {
				out = append(out, set{slices.Clone(chosen), free})
			}
			return
		}
		full := true
		for v := max(from, s.within(free)); v < len(s.value); v++ {
			if s.left[v] == 0 {
				continue
			}
			full = false
			if rest := free - s.value[v]; rest > s.slack && rest < s.value[smallest] {
				continue
			}
			s.left[v]--
			chosen = append(chosen, v)
			add(v, free-s.value[v])
			chosen = chosen[:len(chosen)-1]
			s.left[v]++
		}
		if full && free <= s.slack && !s.dominated(chosen, free) {
			out = append(out, set{slices.Clone(chosen), free})
		}
	}
	add(first, s.capacity-s.value[first])
	slices.SortStableFunc(out, func(a, b set) int {
		if s.most {
			return cmp.Or(cmp.Compare(a.free, b.free), -slices.Compare(a.values, b.values))
		}
		return cmp.Compare(a.free, b.free)
	})
	return out
}

// within is the index of the largest value not over a size.
func (s *search) within(size int64) int {
	i, _ := slices.BinarySearchFunc(s.value, size, func(v, size int64) int { return cmp.Compare(size, v) })
	return i
}

// dominated reports whether a size that is left over fits in, or serves better than one or two of the set.
func (s *search) dominated(chosen []int, free int64) bool {
	if s.between(1, free) {
		return true
	}
	for i, a := range chosen {
		if s.between(s.value[a]+1, s.value[a]+free) {
			return true
		}
		for _, b := range chosen[:i] {
			if sum := s.value[a] + s.value[b]; s.between(sum, sum+free) {
				return true
			}
		}
	}
	return false
}

// between reports whether a value from low to high is left over.
func (s *search) between(low, high int64) bool {
	for v := s.within(high); v < len(s.value) && s.value[v] >= low; v++ {
		if s.left[v] > 0 {
			return true
		}
	}
	return false
}

// indices turns the values of bins into indices of the sorted sizes.
func (s *search) indices(sorted []int64, bins [][]int) [][]int {
	next := make([]int, len(s.value))
	for v := range next {
		next[v], _ = slices.BinarySearchFunc(sorted, s.value[v], func(e, t int64) int { return cmp.Compare(t, e) })
	}
	out := make([][]int, len(bins))
	for i, bin := range bins {
		for _, v := range bin {
			out[i] = append(out[i], next[v])
			next[v]++
		}
	}
	return out
}
