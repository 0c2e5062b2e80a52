package layout

import "encoding/binary"

// The search by stairs puts one piece after the other so that none lies right of and above the lower left
// corner of a later one: in other words, a later piece starts outside the shadow of the earlier ones, the
// points left of and below their upper right corners. What is outside is a staircase, given by its inner
// corners.
//
// Every layout can be put down in such an order: "left of or below" has no circles among rectangles that
// do not overlap, and its order serves (H. Murata, K. Fujiyoshi, S. Nakatake, Y. Kajitani, "VLSI module
// placement based on rectangle-packing by the sequence-pair", 1996). In that order each piece may be slid
// left and down to a corner of the staircase that it finds: it stays outside the shadow, and its own
// shadow gets smaller, so that the later pieces stay outside too. Trying each kind at each corner, each
// way round, is therefore complete.
//
// Whether what is left fits depends on the corners alone, and stays the same when what is left is pushed
// right and up: then a piece starts at the far side less a sum of sides, so that a corner may move there.
// A corner where nothing fits is dropped. The area outside the shadow must hold what is left.
//
// A layout may be mirrored in both axes. The largest piece, if there is one such, therefore has its middle
// in the lower left quarter of the room; sliding left and down keeps it there. Corners do not move before
// it is put down, since pushing right and up would not.

type corner struct{ x, y int64 } // x grows and y falls along the stairs

func (q *question) stairs(int64) verdict {
	if q.pieces == 0 {
		return found
	}
	q.anchor = -1
	for k := range q.kinds {
		if q.left[k] > 0 && (q.anchor < 0 || q.kinds[k].area > q.kinds[q.anchor].area) {
			q.anchor = k
		}
	}
	if q.left[q.anchor] > 1 {
		q.anchor = -1
	}
	return q.climb([]corner{{0, 0}})
}

func (q *question) climb(stairs []corner) verdict {
	if q.pieces == 0 {
		return found
	}
	if !q.tick() {
		return unknown
	}
	stairs, ok := q.level(stairs)
	if !ok {
		return none
	}
	remember := q.steps > rememberAfter
	if remember && q.failedBefore(q.stairsKey(stairs)) {
		return none
	}
	for k := range q.kinds {
		if q.left[k] == 0 {
			continue
		}
		for way := range q.kinds[k].ways {
			w, h := q.kinds[k].way[way][0], q.kinds[k].way[way][1]
			for i, c := range stairs {
				if !q.goes(k, w, h, c) {
					continue
				}
				v := q.take(put{k, way, c.x, c.y}, func() verdict { return q.climb(q.step(stairs, i, w, h)) })
				if v != none {
					return v
				}
			}
		}
	}
	if remember {
		q.fails(q.stairsKey(stairs))
	}
	return none
}

// step returns the stairs after a piece has been put at corner i.
func (q *question) step(stairs []corner, i int, w, h int64) []corner {
	x, y := stairs[i].x+w, stairs[i].y+h
	first, last := i, i // corners within the new shadow
	for first > 0 && stairs[first-1].y < y {
		first--
	}
	for last+1 < len(stairs) && stairs[last+1].x < x {
		last++
	}
	out := make([]corner, 0, len(stairs)+2)
	out = append(out, stairs[:first]...)
	if y < q.h && (first == 0 || stairs[first-1].y > y) {
		out = append(out, corner{stairs[first].x, y})
	}
	if x < q.w && (last+1 == len(stairs) || stairs[last+1].x > x) {
		out = append(out, corner{x, stairs[last].y})
	}
	return append(out, stairs[last+1:]...)
}

// level moves and drops corners without changing the answer, in place, and reports false when what is left
// cannot fit.
func (q *question) level(stairs []corner) ([]corner, bool) {
	if q.steps > rememberAfter && (q.anchor < 0 || q.left[q.anchor] == 0) {
		across, along := q.across.of(q.left), q.along.of(q.left)
		for i := range stairs {
			c := &stairs[i]
			c.x, c.y = q.w-across.most(q.w-c.x), q.h-along.most(q.h-c.y)
		}
	}
	out := stairs[:0]
	for _, c := range stairs {
		if !q.any(q.h-c.y, q.w-c.x) {
			continue
		}
		if n := len(out); n > 0 && out[n-1].x == c.x {
			out[n-1] = c // the same x, lower
		} else if n == 0 || out[n-1].y > c.y {
			out = append(out, c)
		}
	}
	return out, q.holds(out)
}

// holds looks whether the area outside the shadow is enough, and whether each kind fits at a corner.
func (q *question) holds(stairs []corner) bool {
	free := int64(0)
	for i, c := range stairs {
		end := q.w
		if i+1 < len(stairs) {
			end = stairs[i+1].x
		}
		free += shifted(end-c.x, q.h-c.y, q.shift)
		if q.shift > 0 {
			free++
		}
	}
	for k, n := range q.left {
		if n == 0 {
			continue
		}
		if free -= int64(n) * q.kinds[k].area; free < 0 || !q.atCorner(stairs, k) {
			return false
		}
	}
	return true
}

func (q *question) atCorner(stairs []corner, k int) bool {
	for _, way := range q.kinds[k].way[:q.kinds[k].ways] {
		for _, c := range stairs {
			if q.goes(k, way[0], way[1], c) {
				return true
			}
		}
	}
	return false
}

// goes looks whether a piece of kind k may be put at a corner.
func (q *question) goes(k int, w, h int64, c corner) bool {
	if k == q.anchor {
		return w <= q.w-2*c.x && h <= q.h-2*c.y
	}
	return w <= q.w-c.x && h <= q.h-c.y
}

// any looks whether any piece that is left fits into h × w.
func (q *question) any(h, w int64) bool {
	for k := range q.kinds {
		if q.left[k] == 0 {
			continue
		}
		for _, way := range q.kinds[k].way[:q.kinds[k].ways] {
			if way[1] <= h && way[0] <= w {
				return true
			}
		}
	}
	return false
}

func (q *question) stairsKey(stairs []corner) []byte {
	key := q.key[:0]
	for _, n := range q.left {
		key = binary.AppendUvarint(key, uint64(n))
	}
	for _, c := range stairs {
		key = binary.AppendUvarint(key, uint64(c.x))
		key = binary.AppendUvarint(key, uint64(c.y))
	}
	q.key = key
	return key
}
