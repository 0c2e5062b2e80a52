package onesheet

import (
	"context"
	"math/bits"
	"slices"
)

// Sets are all sets of pieces that can be cut from one sheet of some sizes, counted by kind, each with the smallest
// rectangles that it can be cut from. A set has a code: it is the sum of the codes of its pieces.
//
// A set cut from edge to edge divides into two sets, side by side or above one another; with one piece it is that
// piece. So the smallest rectangles of a set come from those of its two parts, for every division. What is left of a
// set that fits when a piece is taken away fits, too: a set is looked at only when all such are known.
type Sets struct {
	ctx             context.Context
	sheets          [][2]int64
	widest, highest int64 // sides of the sheets
	kinds           []int // that are asked for
	most            []int // of each of these
	step            []uint64
	number          numbers
	all             []set // the first is the empty one; then by the number of pieces
	work, limit     int   // divisions looked at
}

// set is pieces that fit on one sheet.
type set struct {
	code   uint64
	shapes []shape // wider and wider, lower and lower
	fits   uint64  // the sheets that it fits on
	full   uint64  // of these, the ones on which no piece more fits
}

// numbers finds a set by its code.
type numbers struct {
	flat []int32 // when there are few codes; -1 is none
	rest map[uint64]int32
}

const mostFlat = 1 << 22

func (n *numbers) of(code uint64) (at int32, known bool) {
	if n.flat != nil {
		at = n.flat[code]
		return at, at >= 0
	}
	at, known = n.rest[code]
	return at, known
}

func (n *numbers) put(code uint64, at int) {
	if n.flat != nil {
		n.flat[code] = int32(at)
	} else {
		n.rest[code] = int32(at)
	}
}

// shape is a rectangle of a set: from shape i of set a and shape k of set b, or one piece (b = 0).
type shape struct {
	w, h    int64
	a, b    int32
	i, k    int32
	upright bool
}

const (
	mostSets   = 300_000
	mostSheets = 64
)

// NewSets finds all sets of no more pieces of a kind than its Max, where 0 is none. It is nil when there are too many,
// or that would take more divisions than the limit, or ctx ends first.
func NewSets(ctx context.Context, sheets []Sheet, kinds []Kind, kerf int64, limit int) *Sets {
	s := &Sets{ctx: ctx, limit: limit, all: []set{{}}}
	for _, sh := range sheets {
		w, h := sh.reckoned(kerf)
		s.sheets = append(s.sheets, [2]int64{w, h})
		s.widest, s.highest = max(s.widest, w), max(s.highest, h)
	}
	if len(sheets) > mostSheets || !s.codes(kinds) {
		return nil
	}
	for k, i := range s.kinds {
		w, h := int64(kinds[i].Width)+kerf, int64(kinds[i].Height)+kerf
		one := []shape{{w: w, h: h, a: int32(i)}}
		if kinds[i].Turn {
			one = keep(one, shape{w: h, h: w, a: int32(i)})
		}
		s.put(s.step[k], one)
	}
	for at := 1; at < len(s.all); at++ {
		if !s.extend(at) {
			return nil
		}
	}
	return s
}

// codes gives each kind its code; false when the sums are too large.
func (s *Sets) codes(kinds []Kind) bool {
	code := uint64(1)
	for i, k := range kinds {
		if k.Max == 0 {
			continue
		}
		s.kinds, s.most, s.step = append(s.kinds, i), append(s.most, k.Max), append(s.step, code)
		hi, lo := bits.Mul64(code, uint64(k.Max)+1)
		if code = lo; hi > 0 || code > 1<<62 {
			return false
		}
	}
	if code <= mostFlat {
		s.number.flat = slices.Repeat([]int32{-1}, int(code))
	} else {
		s.number.rest = map[uint64]int32{}
	}
	s.number.put(0, 0)
	return true
}

// Count is how many of such a kind a set holds.
func (s *Sets) Count(code uint64, k int) int { return int(code / s.step[k] % uint64(s.most[k]+1)) }

// put takes a set if it fits on some sheet.
func (s *Sets) put(code uint64, shapes []shape) {
	n := set{code: code}
	for _, sh := range shapes {
		on := uint64(0)
		for i, sheet := range s.sheets {
			if sh.w <= sheet[0] && sh.h <= sheet[1] {
				on |= 1 << i
			}
		}
		if on != 0 {
			n.fits |= on
			n.shapes = append(n.shapes, sh)
		}
	}
	if n.fits == 0 {
		return
	}
	n.full = n.fits
	for k, step := range s.step {
		if s.Count(code, k) > 0 {
			less, _ := s.number.of(code - step)
			s.all[less].full &^= n.fits
		}
	}
	s.number.put(code, len(s.all))
	s.all = append(s.all, n)
}

// extend adds each piece to a set that is none of the kinds before its last.
func (s *Sets) extend(at int) bool {
	code := s.all[at].code
	last := len(s.kinds) - 1
	for s.Count(code, last) == 0 {
		last--
	}
	for k := last; k < len(s.kinds); k++ {
		if s.Count(code, k) == s.most[k] || !s.likely(code+s.step[k]) {
			continue
		}
		s.put(code+s.step[k], s.shapes(code+s.step[k], k))
		if s.work > s.limit || len(s.all) > mostSets || s.ctx.Err() != nil {
			return false
		}
	}
	return true
}

// likely reports whether all sets of a piece less fit.
func (s *Sets) likely(code uint64) bool {
	for k, step := range s.step {
		if s.Count(code, k) > 0 {
			if _, known := s.number.of(code - step); !known {
				return false
			}
		}
	}
	return true
}

// shapes are the smallest rectangles of a set, from every division; its last kind is k.
func (s *Sets) shapes(code uint64, k int) []shape {
	var out []shape
	s.Parts(code-s.step[k], func(part uint64) bool {
		if s.work++; s.work > s.limit || s.work%(1<<16) == 0 && s.ctx.Err() != nil {
			return false // extend sees why
		}
		if a, known := s.number.of(part); known && part > 0 {
			if b, known := s.number.of(code - part); known {
				out = s.join(out, a, b)
			}
		}
		return true
	})
	return out
}

// join keeps the smallest rectangles that two sets make side by side, or above one another.
func (s *Sets) join(out []shape, a, b int32) []shape {
	x, y := s.all[a].shapes, s.all[b].shapes
	if x[0].w+y[0].w > s.widest && x[len(x)-1].h+y[len(y)-1].h > s.highest {
		return out
	}
	for i, k := 0, 0; i < len(x) && k < len(y); {
		n := shape{x[i].w + y[k].w, max(x[i].h, y[k].h), a, b, int32(i), int32(k), true}
		if n.w > s.widest {
			break
		}
		if n.h <= s.highest {
			out = keep(out, n)
		}
		if x[i].h >= y[k].h {
			i++
		} else {
			k++
		}
	}
	for i, k := len(x)-1, len(y)-1; i >= 0 && k >= 0; {
		n := shape{max(x[i].w, y[k].w), x[i].h + y[k].h, a, b, int32(i), int32(k), false}
		if n.h > s.highest {
			break
		}
		if n.w <= s.widest {
			out = keep(out, n)
		}
		if x[i].w >= y[k].w {
			i--
		} else {
			k--
		}
	}
	return out
}

// keep adds a shape in its place unless another is no larger, and drops those that are no smaller.
func keep(list []shape, n shape) []shape {
	at := 0
	for at < len(list) && list[at].w <= n.w {
		if list[at].h <= n.h {
			return list
		}
		at++
	}
	if at > 0 && list[at-1].w == n.w {
		at--
	}
	to := at
	for to < len(list) && list[to].h >= n.h {
		to++
	}
	if to > at {
		list[at] = n
		return append(list[:at+1], list[to:]...)
	}
	list = append(list, n)
	copy(list[at+1:], list[at:])
	list[at] = n
	return list
}

// Parts calls done with every set within a set, until it returns false.
func (s *Sets) Parts(code uint64, done func(part uint64) bool) {
	type digit struct {
		at, most int
		step     uint64
	}
	digits := make([]digit, 0, 64)
	for k, step := range s.step {
		if n := s.Count(code, k); n > 0 {
			digits = append(digits, digit{0, n, step})
		}
	}
	for part := uint64(0); done(part); {
		k := 0
		for ; k < len(digits); k++ {
			d := &digits[k]
			if d.at < d.most {
				d.at++
				part += d.step
				break
			}
			part -= uint64(d.at) * d.step
			d.at = 0
		}
		if k == len(digits) {
			return
		}
	}
}

// Whole is the code of all pieces.
func (s *Sets) Whole() uint64 {
	code := uint64(0)
	for k, step := range s.step {
		code += uint64(s.most[k]) * step
	}
	return code
}

// First is the first kind of which a set that is not empty holds a piece, counted among those that are asked for.
func (s *Sets) First(code uint64) int {
	k := 0
	for s.Count(code, k) == 0 {
		k++
	}
	return k
}

// Fits reports whether the set of a code can be cut from a sheet.
func (s *Sets) Fits(code uint64, sheet int) bool {
	at, known := s.number.of(code)
	return known && s.all[at].fits>>sheet&1 > 0
}

// Full calls of with each set that can be cut from a sheet with which no piece more can, and how many pieces of each
// kind asked for it has.
func (s *Sets) Full(of func(sheet int, code uint64, counts []int), kinds int) {
	for _, n := range s.all {
		if n.full == 0 {
			continue
		}
		counts := make([]int, kinds)
		for k, i := range s.kinds {
			counts[i] = s.Count(n.code, k)
		}
		for sheet := range s.sheets {
			if n.full>>sheet&1 > 0 {
				of(sheet, n.code, counts)
			}
		}
	}
}

// Joint tells how a set that fits on a sheet is cut from it.
func (s *Sets) Joint(code uint64, sheet int) *Joint {
	at, _ := s.number.of(code)
	i := slices.IndexFunc(s.all[at].shapes, func(sh shape) bool {
		return sh.w <= s.sheets[sheet][0] && sh.h <= s.sheets[sheet][1]
	})
	return s.joint(at, i)
}

func (s *Sets) joint(at int32, i int) *Joint {
	sh := s.all[at].shapes[i]
	if sh.b == 0 {
		return &Joint{W: sh.w, H: sh.h, Piece: int(sh.a)}
	}
	return Join(s.joint(sh.a, int(sh.i)), s.joint(sh.b, int(sh.k)), sh.upright)
}
