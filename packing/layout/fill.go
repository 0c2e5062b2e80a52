package layout

import "encoding/binary"

// The search by filling works from the left. What is filled is bounded by a front: stretches from bottom
// to top, each with the x from which it is still free. It answers one question: can the pieces that are
// left lie right of the front?
//
// Take a layout of them, if there is one, and push every piece right and up until none moves; this ends,
// since the sum of all coordinates grows. Then every piece starts at the far side less a sum of sides of
// pieces left: at a column and a row, say. The front may be moved to the next column without changing the
// answer. Look at the gap: the stretch whose x is least, the lowest of several, and at the lowest row in
// it. Either a piece has its lower left corner there, and each kind is tried, each way round. Or none has:
// then the gap stays empty from there to the next row and to the next column, since what covers a point
// there starts at a row and a column within the gap, not beyond that point. Both together are complete.
//
// Empty area is counted; more of it than the room has to spare ends a branch. This search is quick when
// there is little to spare. A question once answered no is remembered.

type stretch struct{ x, h int64 }

type filler struct {
	*question
	arena []stretch
}

func (q *question) fill(slack int64) verdict {
	f := &filler{question: q}
	f.arena = append(make([]stretch, 0, 256), stretch{0, q.h})
	return f.search(f.arena, slack)
}

// search answers whether what is left fits right of the front. It may change front.
func (f *filler) search(front []stretch, slack int64) verdict {
	if f.pieces == 0 {
		return found
	}
	across, along := f.across.of(f.left), f.along.of(f.left)
	if !f.tick() || *across == nil || *along == nil {
		return unknown
	}
	front, slack, ok := f.settle(front, slack)
	if !ok {
		return none
	}
	if f.failedBefore(f.frontKey(front)) {
		return none
	}
	i, y := lowest(front)
	row := f.h - along.most(f.h-y)
	if v := f.fillGap(front, i, row-y, row, slack); v != none {
		return v
	}
	next := f.h - along.below(f.h-row)
	column := f.w - across.below(f.w-front[i].x)
	if v := f.leave(front, i, min(next-y, front[i].h), column, slack); v != none {
		return v
	}
	f.fails(f.frontKey(front))
	return none
}

// fillGap tries every kind in gap i, at the row that is low above its lower end, what closes the gap first.
func (f *filler) fillGap(front []stretch, i int, low, row, slack int64) verdict {
	for _, closes := range [2]bool{true, false} {
		for k := range f.kinds {
			if f.left[k] == 0 {
				continue
			}
			for way := range f.kinds[k].ways {
				w, h := f.kinds[k].way[way][0], f.kinds[k].way[way][1]
				if low+h > front[i].h || w > f.w-front[i].x || (low+h == front[i].h) != closes {
					continue
				}
				v := f.take(put{k, way, front[i].x, row}, func() verdict {
					return f.after(front, i, low, stretch{front[i].x + w, h}, slack)
				})
				if v != none {
					return v
				}
			}
		}
	}
	return none
}

// leave leaves the lowest part of gap i empty up to the next column.
func (f *filler) leave(front []stretch, i int, h, column, slack int64) verdict {
	if slack -= shifted(column-front[i].x, h, f.shift); slack < 0 {
		return none
	}
	return f.after(front, i, 0, stretch{column, h}, slack)
}

// after searches on with a stretch in gap i, low above its lower end.
func (f *filler) after(front []stretch, i int, low int64, s stretch, slack int64) verdict {
	base := len(f.arena)
	gap := front[i]
	f.arena = append(f.arena, front[:i]...)
	for _, part := range [3]stretch{{gap.x, low}, s, {gap.x, gap.h - low - s.h}} {
		if part.h > 0 {
			f.arena = append(f.arena, part)
		}
	}
	f.arena = append(f.arena, front[i+1:]...)
	v := f.search(f.arena[base:], slack)
	f.arena = f.arena[:base]
	return v
}

// settle moves the front right as far as it changes nothing, counts what that leaves empty, and reports
// false when what is left cannot fit.
func (f *filler) settle(front []stretch, slack int64) ([]stretch, int64, bool) {
	for slack >= 0 {
		slack -= f.raise(front)
		front = merge(front)
		i, y := lowest(front)
		row := f.h - f.along.of(f.left).most(f.h-y)
		if f.any(front[i].h-(row-y), f.w-front[i].x) {
			return front, slack, slack >= 0 && f.stacks(front) <= slack && f.eachFits(front)
		}
		next := nearer(front, i)
		if next < 0 {
			return front, slack, false
		}
		slack -= shifted(next-front[i].x, front[i].h, f.shift)
		front[i].x = next
	}
	return front, slack, false
}

// raise moves every stretch to the next column.
func (f *filler) raise(front []stretch) int64 {
	empty := int64(0)
	s := f.across.of(f.left)
	for i := range front {
		if x := f.w - s.most(f.w-front[i].x); x > front[i].x {
			empty += shifted(x-front[i].x, front[i].h, f.shift)
			front[i].x = x
		}
	}
	return empty
}

// stacks returns area that stays empty because no sum of heights is as high as a gap: what lies in a gap
// left of its neighbours is stacked between them.
func (f *filler) stacks(front []stretch) int64 {
	empty := int64(0)
	s := f.along.of(f.left)
	for i := range front {
		next := nearer(front, i)
		if next < 0 {
			next = f.w
		}
		if next > front[i].x {
			empty += shifted(next-front[i].x, front[i].h-s.most(front[i].h), f.shift)
		}
	}
	return empty
}

// eachFits looks whether every kind that is left finds a place by itself.
func (f *filler) eachFits(front []stretch) bool {
	for k := range f.kinds {
		if f.left[k] > 0 && !f.somewhere(front, &f.kinds[k]) {
			return false
		}
	}
	return true
}

func (f *filler) somewhere(front []stretch, k *kind) bool {
	for _, way := range k.way[:k.ways] {
		limit, run := f.w-way[0], int64(0)
		for _, s := range front {
			if s.x > limit {
				run = 0
				continue
			}
			if run += s.h; run >= way[1] {
				return true
			}
		}
	}
	return false
}

// merge joins neighbours with the same x, in place.
func merge(front []stretch) []stretch {
	out := front[:1]
	for _, s := range front[1:] {
		if last := &out[len(out)-1]; last.x == s.x {
			last.h += s.h
		} else {
			out = append(out, s)
		}
	}
	return out
}

// lowest returns the stretch with the least x, the lowest of several, and its y.
func lowest(front []stretch) (int, int64) {
	best, at, y := 0, int64(0), int64(0)
	for i, s := range front {
		if s.x < front[best].x {
			best, at = i, y
		}
		y += s.h
	}
	return best, at
}

// nearer returns the x of the nearer neighbour of stretch i, or -1 when it has none.
func nearer(front []stretch, i int) int64 {
	next := int64(-1)
	if i > 0 {
		next = front[i-1].x
	}
	if i+1 < len(front) && (next < 0 || front[i+1].x < next) {
		next = front[i+1].x
	}
	return next
}

func (f *filler) frontKey(front []stretch) []byte {
	key := f.key[:0]
	for _, n := range f.left {
		key = binary.AppendUvarint(key, uint64(n))
	}
	for _, s := range front {
		key = binary.AppendUvarint(key, uint64(s.x))
		key = binary.AppendUvarint(key, uint64(s.h))
	}
	f.key = key
	return key
}
