package bins

import (
	"cmp"
	"context"
	"slices"
)

// improver looks for packings with one bin less until the bound is met. It takes turns: a search over all
// sizes, which alone can prove that there is none; and searches over a few bins at a time, of which those
// that are not full are always some, and the others come in an order that is irregular, yet always the same.
type improver struct {
	ctx      context.Context
	capacity int64
	sorted   []int64
	bins     [][]int
	bound    int
	spent    int
	state    uint64
}

const (
	firstSteps = 200_000
	partSteps  = 150_000
	rounds     = 200 // of searches over a few bins in one turn
	fewBins    = 12  // of these at first, and up to twice as many
	mostSteps  = 150_000_000
)

func improve(ctx context.Context, capacity int64, sorted []int64, out *Packing) {
	m := &improver{ctx: ctx, capacity: capacity, sorted: sorted, bins: out.Bins, bound: out.Bound, state: 1}
	for limit := firstSteps + 4000*len(sorted); len(m.bins) > m.bound && m.going(); limit *= 2 {
		m.turn(limit, m.bound)
		if len(m.bins) > m.bound+1 {
			m.turn(limit, len(m.bins)-1)
		}
	}
	out.Bins, out.Bound = m.bins, m.bound
}

func (m *improver) going() bool { return m.spent < mostSteps && m.ctx.Err() == nil }

// turn looks for a packing into n bins.
func (m *improver) turn(limit, n int) {
	if !m.whole(limit, n) {
		m.parts(n)
	}
}

// whole searches over all sizes for a packing into n bins, and reports whether that has decided anything. If
// not, what was filled furthest is kept when it leads to as few bins: few of them are not full.
func (m *improver) whole(limit, n int) bool {
	for _, most := range []bool{false, true} {
		s := newSearch(m.ctx, m.capacity, m.sorted, n)
		s.limit, s.most = limit, most
		ok := s.fill(n)
		m.spent += s.steps
		switch {
		case ok:
			m.bins = s.indices(m.sorted, s.bins)
			return true
		case !s.cut:
			m.bound = n + 1
			return true
		}
		if bins := m.completed(s.indices(m.sorted, s.deepest), all(m.sorted)); len(bins) <= len(m.bins) {
			m.bins = bins
		}
	}
	return false
}

// completed adds the items that are in no bin yet by best fit.
func (m *improver) completed(bins [][]int, items []int) [][]int {
	used := map[int]bool{}
	for _, bin := range bins {
		for _, i := range bin {
			used[i] = true
		}
	}
	var rest []int
	var sizes []int64
	for _, i := range items {
		if !used[i] {
			rest, sizes = append(rest, i), append(sizes, m.sorted[i])
		}
	}
	for _, bin := range bestFit(m.capacity, sizes) {
		for k := range bin {
			bin[k] = rest[bin[k]]
		}
		bins = append(bins, bin)
	}
	return bins
}

func all(sorted []int64) []int {
	out := make([]int, len(sorted))
	for i := range out {
		out[i] = i
	}
	return out
}

func (m *improver) free(bin []int) int64 {
	free := m.capacity
	for _, i := range bin {
		free -= m.sorted[i]
	}
	return free
}

// parts searches over a few bins at a time for those that are to be saved.
func (m *improver) parts(target int) {
	for round := 0; round < rounds && len(m.bins) > max(target, m.bound) && m.going(); round++ {
		m.shuffle()
		slices.SortStableFunc(m.bins, func(a, b []int) int {
			return cmp.Compare(min(1, m.free(b)), min(1, m.free(a))) // those not full first
		})
		save := len(m.bins) - target
		n := min(len(m.bins), max(fewBins, m.notFull(m.bins)+fewBins/2)+round*fewBins/rounds)
		free := int64(0)
		for _, bin := range m.bins[:n] {
			free += m.free(bin)
		}
		for ; n < len(m.bins) && free < int64(save)*m.capacity; n++ {
			free += m.free(m.bins[n])
		}
		if free < int64(save)*m.capacity {
			return
		}
		m.bins = append(m.part(m.bins[:n], n-save), m.bins[n:]...)
	}
}

// part packs some bins into n. When that is not found, they are packed anew as far as the search came, if
// that leaves no more of them that are not full, so that the next round finds another beginning.
func (m *improver) part(bins [][]int, n int) [][]int {
	items := slices.Concat(bins...)
	slices.Sort(items)
	sizes := make([]int64, len(items))
	for i, item := range items {
		sizes[i] = m.sorted[item]
	}
	s := newSearch(m.ctx, m.capacity, sizes, n)
	s.limit, s.most = partSteps, m.state>>40&1 == 1
	ok := s.fill(n)
	m.spent += s.steps
	out := s.bins
	if !ok {
		out = s.deepest
	}
	packed := s.indices(sizes, out)
	for _, bin := range packed {
		for k := range bin {
			bin[k] = items[bin[k]]
		}
	}
	if !ok {
		packed = m.completed(packed, items)
	}
	if len(packed) > len(bins) || len(packed) == len(bins) && m.notFull(packed) > m.notFull(bins) {
		return slices.Clone(bins)
	}
	return packed
}

func (m *improver) notFull(bins [][]int) int {
	n := 0
	for _, bin := range bins {
		n += int(min(1, m.free(bin)))
	}
	return n
}

// shuffle puts the bins into another order (a linear congruential generator, with the multiplier of D. Knuth).
func (m *improver) shuffle() {
	for i := len(m.bins) - 1; i > 0; i-- {
		m.state = m.state*6364136223846793005 + 1442695040888963407
		k := int(m.state >> 33 % uint64(i+1))
		m.bins[i], m.bins[k] = m.bins[k], m.bins[i]
	}
}
