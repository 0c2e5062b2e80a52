package onesheet

import (
	"container/heap"
	"encoding/binary"
	"math"
	"math/bits"
	"slices"
)

// The search joins rectangles from single pieces upwards, the most promising first (K. V. Viswanathan,
// A. Bagchi, "Best-first search methods for constrained two-dimensional cutting stock problems", 1993). The
// promise of a rectangle is its value and a bound on what the sheet outside it can add, see eased; none that is passed
// over promises more than the floor. With equal pieces, one that is no larger either way is kept.
type search struct {
	t       *Table
	eased   *eased
	area    []int64 // most value by area, with the numbers that may be taken; nil when that is too large
	outside []int64
	fields  fields
	blocks  []block  // all that were kept
	counts  []uint64 // of each, as fields
	open    []int32  // a heap of them
	done    []joined // those that were joined with all others
	have    []uint64 // of each of these, as fields
	seen    map[string]int32
	key     []byte
	every   bool    // all that are worth more than the floor are asked for, not only the best
	floor   int64   // what is worth no more is of no use; the best so far, unless all are asked for
	bound   int64   // nothing is worth more
	found   []int32 // what was worth more than the floor when it was found
	limit   int     // rectangles kept at most
	effort  int     // pairs looked at at most
	pairs   int     // looked at
}

// block is a rectangle: a piece in its corner, or two blocks joined.
type block struct {
	w, h         int64
	value, eased int64 // eased is the value less the fines
	total        int64 // the promise
	a, b         int32 // blocks; a piece has b = -1 and its kind in a
	next         int32 // with the same pieces; -1 is none
	upright      bool
}

// joined is what joining needs to know of a block.
type joined struct {
	w, h, value, eased int64
	of                 int32
}

const (
	mostBuilds = 250_000
	mostAreas  = 4 << 20
)

func newBounded(t *Table, over int64) *search {
	s := &search{t: t, floor: over, limit: mostBuilds, effort: math.MaxInt, seen: map[string]int32{}}
	s.fields = newFields(t.most)
	s.eased = t.ease(over)
	s.area = byArea(t.most, s.eased.kinds, t.w, t.h)
	s.reach()
	return s
}

// byArea is the most value for every area, no matter the shapes.
func byArea(most []int, kinds []kind, w, h int64) []int64 {
	if w > mostAreas/h {
		return nil
	}
	row := make([]int64, w*h+1)
	for i, n := range most {
		at := slices.IndexFunc(kinds, func(k kind) bool { return k.asked == i })
		if at < 0 {
			continue
		}
		k := kinds[at]
		if all := int(w * h / (k.w * k.h)); n == 0 || n > all {
			n = all
		}
		for part := 1; n > 0; part *= 2 {
			part = min(part, n)
			n -= part
			weight, value := int64(part)*k.w*k.h, int64(part)*k.value
			for c := w * h; c >= weight; c-- {
				row[c] = max(row[c], row[c-weight]+value)
			}
		}
	}
	return row
}

// worth bounds what a rectangle can hold.
func (s *search) worth(i, j int) int64 {
	v := s.eased.value[i*len(s.t.ys)+j]
	if s.area != nil {
		v = min(v, s.area[s.t.xs[i]*s.t.ys[j]])
	}
	return v
}

// reach bounds what the sheet can hold outside a rectangle in its corner: the larger of what can be added
// beside it and above it, step by step up to the whole sheet.
func (s *search) reach() {
	xs, ys := s.t.xs, s.t.ys
	n := len(ys)
	s.outside = make([]int64, len(xs)*n)
	if len(xs)+n > 700 { // too many steps to look at each: all of the sheet
		for i := range s.outside {
			s.outside[i] = s.eased.Best()
		}
		return
	}
	gapX, gapY := gaps(xs, s.t.w), gaps(ys, s.t.h)
	for i := len(xs) - 1; i >= 0; i-- {
		for j := n - 1; j >= 0; j-- {
			best := max(s.worth(gapX[i][len(xs)-i], j), s.worth(i, gapY[j][n-j]))
			for k := i + 1; k < len(xs); k++ {
				best = max(best, s.outside[k*n+j]+s.worth(gapX[i][k-i], j))
			}
			for k := j + 1; k < n; k++ {
				best = max(best, s.outside[i*n+k]+s.worth(i, gapY[j][k-j]))
			}
			s.outside[i*n+j] = best
		}
	}
}

// gaps returns the last point within each difference of two points, and, at the end, up to the whole.
func gaps(p points, whole int64) [][]int {
	out := make([][]int, len(p))
	for i := range p {
		for k := i; k < len(p); k++ {
			out[i] = append(out[i], p.at(p[k]-p[i]))
		}
		out[i] = append(out[i], p.at(whole-p[i]))
	}
	return out
}

// run ends with a bound: nothing is worth more. When all are asked for, it ends with the floor as bound once all are
// found.
func (s *search) run() {
	whole := s.worth(len(s.t.xs)-1, len(s.t.ys)-1) + s.eased.refund
	s.bound = max(s.floor, whole)
	for i, k := range s.t.kinds {
		s.add(block{w: k.w, h: k.h, value: k.value, eased: s.eased.kinds[i].value, a: int32(i), b: -1}, s.fields.one(k.asked))
	}
	for len(s.open) > 0 {
		top := s.blocks[s.open[0]]
		s.bound = max(s.floor, min(whole, top.total))
		if top.total <= s.floor {
			break
		}
		if len(s.blocks) > s.limit || s.pairs > s.effort || len(s.done)%16 == 0 && s.t.ctx.Err() != nil {
			return
		}
		if !s.joinAll(heap.Pop(s).(int32)) {
			return
		}
	}
	s.bound = s.floor
}

// joinAll joins a rectangle with all that were looked at before, and itself.
func (s *search) joinAll(at int32) bool {
	b, words := s.blocks[at], s.fields.words
	s.done = append(s.done, joined{b.w, b.h, b.value, b.eased, at})
	s.have = append(s.have, s.counts[int(at)*words:(int(at)+1)*words]...)
	own, sum := s.have[len(s.have)-words:], make([]uint64, words)
	for i, o := range s.done {
		if i%4096 == 4095 && s.t.ctx.Err() != nil {
			return false
		}
		wide, high := b.w+o.w <= s.t.w, b.h+o.h <= s.t.h
		if !wide && !high || !s.fields.add(own, s.have[i*words:(i+1)*words], sum) {
			continue
		}
		if wide {
			s.add(block{w: b.w + o.w, h: max(b.h, o.h), value: b.value + o.value, eased: b.eased + o.eased, a: at, b: o.of, upright: true}, sum)
		}
		if high {
			s.add(block{w: max(b.w, o.w), h: b.h + o.h, value: b.value + o.value, eased: b.eased + o.eased, a: at, b: o.of}, sum)
		}
	}
	s.pairs += len(s.done)
	return true
}

func (s *search) add(b block, counts []uint64) {
	b.total = b.eased + s.eased.refund + s.outside[s.t.xs.at(b.w)*len(s.t.ys)+s.t.ys.at(b.h)]
	if b.total <= s.floor {
		return
	}
	at := int32(len(s.blocks))
	key := s.key[:0]
	for _, n := range counts {
		key = binary.LittleEndian.AppendUint64(key, n)
	}
	s.key = key
	first, known := s.seen[string(key)]
	b.next = -1
	if known {
		for i := first; i >= 0; i = s.blocks[i].next {
			if o := &s.blocks[i]; o.w <= b.w && o.h <= b.h {
				return
			}
		}
		b.next = first
	}
	s.seen[string(key)] = at
	s.blocks, s.counts = append(s.blocks, b), append(s.counts, counts...)
	if b.value > s.floor && (!s.every || !known) {
		s.found = append(s.found, at)
		if !s.every {
			s.floor = b.value
		}
	}
	heap.Push(s, at)
}

// joint tells how a block is cut.
func (s *search) joint(at int32) *Joint {
	b := s.blocks[at]
	if b.b < 0 {
		return &Joint{W: b.w, H: b.h, Piece: s.t.kinds[b.a].asked}
	}
	return Join(s.joint(b.a), s.joint(b.b), b.upright)
}

// best is the most valuable that was found; nil when nothing was.
func (s *search) best() *Joint {
	if len(s.found) == 0 {
		return nil
	}
	return s.joint(s.found[len(s.found)-1])
}

// The heap: the most promising first, of these the most valuable.
func (s *search) Len() int { return len(s.open) }

func (s *search) Less(i, j int) bool {
	a, b := &s.blocks[s.open[i]], &s.blocks[s.open[j]]
	switch {
	case a.total != b.total:
		return a.total > b.total
	case a.value != b.value:
		return a.value > b.value
	}
	return s.open[i] < s.open[j]
}
func (s *search) Swap(i, j int) { s.open[i], s.open[j] = s.open[j], s.open[i] }
func (s *search) Push(x any)    { s.open = append(s.open, x.(int32)) }
func (s *search) Pop() any {
	last := len(s.open) - 1
	x := s.open[last]
	s.open = s.open[:last]
	return x
}

// areaBound is the most value by area when the last piece may be broken, rounded down.
func areaBound(kinds []Kind, all []kind, w, h int64) int64 {
	shift := uint(max(0, bits.Len64(uint64(w))+bits.Len64(uint64(h))-52))
	area := func(a, b int64) int64 {
		hi, lo := bits.Mul64(uint64(a), uint64(b))
		return int64(hi<<(64-shift) | lo>>shift)
	}
	left, value := area(w, h)+1, int64(0)
	order := slices.Clone(all)
	slices.SortStableFunc(order, func(a, b kind) int {
		hi, lo := bits.Mul64(uint64(b.value), uint64(max(1, area(a.w, a.h))))
		hi2, lo2 := bits.Mul64(uint64(a.value), uint64(max(1, area(b.w, b.h))))
		switch {
		case hi != hi2 && hi < hi2 || hi == hi2 && lo < lo2:
			return -1
		case hi == hi2 && lo == lo2:
			return 0
		}
		return 1
	})
	used := map[int]bool{}
	for _, k := range order {
		if used[k.asked] {
			continue
		}
		used[k.asked] = true
		each := max(1, area(k.w, k.h))
		n := min(int64(mostCopies), left/each)
		if most := int64(kinds[k.asked].Max); most > 0 && n >= most {
			value, left = value+most*k.value, left-most*each
			continue
		}
		hi, lo := bits.Mul64(uint64(left), uint64(k.value))
		part, _ := bits.Div64(hi, lo, uint64(each))
		return value + int64(part)
	}
	return value
}
