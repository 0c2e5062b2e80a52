package onesheet

import (
	"container/heap"
	"context"
	"encoding/binary"
	"math/bits"
	"slices"
)

// The search joins rectangles from single pieces upwards, the most promising first (K. V. Viswanathan,
// A. Bagchi, "Best-first search methods for constrained two-dimensional cutting stock problems", 1993). The
// promise of a rectangle is its value and a bound on what the sheet outside it can add; none that is passed
// over promises more than the best. With equal pieces, one that is no larger either way is kept.
type search struct {
	ctx     context.Context
	w, h    int64
	most    []int // of each kind that was asked; 0 is any number
	t       *Table
	area    []int64 // most value by area, with the numbers that may be taken; nil when that is too large
	outside []int64
	open    builds
	done    []*build
	seen    map[string][][2]int64
	key     []byte
	best    int64
	bound   int64
	joint   *Joint
	limit   int // rectangles kept at most
}

type build struct {
	joint        *Joint
	value, total int64 // total is the promise
	counts       []uint16
	order        int
}

type builds []*build

func (b builds) Len() int { return len(b) }
func (b builds) Less(i, j int) bool {
	switch {
	case b[i].total != b[j].total:
		return b[i].total > b[j].total
	case b[i].value != b[j].value:
		return b[i].value > b[j].value
	}
	return b[i].order < b[j].order
}
func (b builds) Swap(i, j int) { b[i], b[j] = b[j], b[i] }
func (b *builds) Push(x any)   { *b = append(*b, x.(*build)) }
func (b *builds) Pop() any {
	last := len(*b) - 1
	x := (*b)[last]
	*b = (*b)[:last]
	return x
}

const (
	mostBuilds = 250_000
	mostAreas  = 4 << 20
)

func newBounded(ctx context.Context, kinds []Kind, t *Table, w, h int64) *search {
	s := &search{ctx: ctx, w: w, h: h, t: t, limit: mostBuilds, seen: map[string][][2]int64{}}
	for _, k := range kinds {
		s.most = append(s.most, k.Max)
	}
	s.area = byArea(s.most, t.kinds, w, h)
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
	v := s.t.value[i*len(s.t.ys)+j]
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
			s.outside[i] = s.t.value[len(s.t.value)-1]
		}
		return
	}
	gapX, gapY := gaps(xs, s.w), gaps(ys, s.h)
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

func (s *search) run() {
	whole := s.worth(len(s.t.xs)-1, len(s.t.ys)-1)
	for _, k := range s.t.kinds {
		counts := make([]uint16, len(s.most))
		counts[k.asked]++
		s.add(&Joint{W: k.w, H: k.h, Piece: k.asked}, k.value, counts)
	}
	for len(s.open) > 0 {
		top := s.open[0]
		if s.bound = max(s.best, min(whole, top.total)); s.bound == s.best {
			return
		}
		if len(s.done)+len(s.open) > s.limit || len(s.done)%16 == 0 && s.ctx.Err() != nil {
			return
		}
		heap.Pop(&s.open)
		s.done = append(s.done, top)
		if !s.joinAll(top) {
			return
		}
	}
	s.bound = s.best
}

// joinAll joins a rectangle with all that were looked at before, and itself.
func (s *search) joinAll(b *build) bool {
	for i, o := range s.done {
		if i%1024 == 1023 && s.ctx.Err() != nil {
			return false
		}
		wide, high := b.joint.W+o.joint.W <= s.w, b.joint.H+o.joint.H <= s.h
		if !wide && !high || !s.allowed(b, o) {
			continue
		}
		counts := make([]uint16, len(b.counts))
		for k := range counts {
			counts[k] = b.counts[k] + o.counts[k]
		}
		if wide {
			s.add(Join(b.joint, o.joint, true), b.value+o.value, counts)
		}
		if high {
			s.add(Join(b.joint, o.joint, false), b.value+o.value, counts)
		}
	}
	return true
}

func (s *search) allowed(a, b *build) bool {
	for k, most := range s.most {
		if n := int(a.counts[k]) + int(b.counts[k]); n > most && most > 0 || n >= mostCopies {
			return false
		}
	}
	return true
}

func (s *search) add(j *Joint, value int64, counts []uint16) {
	if value > s.best {
		s.best, s.joint = value, j
	}
	total := value + s.outside[s.t.xs.at(j.W)*len(s.t.ys)+s.t.ys.at(j.H)]
	if total <= s.best && value < s.best || s.larger(j, counts) {
		return
	}
	heap.Push(&s.open, &build{j, value, total, counts, len(s.done) + len(s.open)})
}

// larger reports whether the same pieces have been joined to something no larger, and notes these.
func (s *search) larger(j *Joint, counts []uint16) bool {
	key := s.key[:0]
	for _, n := range counts {
		key = binary.AppendUvarint(key, uint64(n))
	}
	s.key = key
	list := s.seen[string(key)]
	for _, o := range list {
		if o[0] <= j.W && o[1] <= j.H {
			return true
		}
	}
	s.seen[string(key)] = append(list, [2]int64{j.W, j.H})
	return false
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
