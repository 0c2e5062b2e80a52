package layout

import "slices"

// A scale maps lengths so that whatever fits side by side along an axis still does (it is dual feasible):
// Σ length ≤ L implies Σ scale(length) ≤ scale(L). Then Σ scaleX(width) · scaleY(height) over the pieces
// of a layout is at most scaleX(W) · scaleY(H), a bound that is often sharper than area.
//
// Source of the three families: S. Fekete, J. Schepers, "A general framework for bounds for
// higher-dimensional orthogonal packing problems", 2004; J. Carlier, F. Clautiaux, A. Moukrim, "New
// reduction procedures and lower bounds for the two-dimensional bin packing problem with fixed
// orientation", 2007.
type scale struct {
	kind  byte // 'i' the length itself, 'u' small lengths vanish and large ones fill, 'c' counts of a step
	whole int64
	step  int64
}

func (s scale) of(length int64) int64 {
	switch s.kind {
	case 'u':
		if length > s.whole-s.step {
			return s.whole
		}
		if length < s.step {
			return 0
		}
	case 'c':
		half := s.whole / s.step
		switch {
		case 2*length > s.whole:
			return 2 * (half - (s.whole-length)/s.step)
		case 2*length == s.whole:
			return half
		}
		return 2 * (length / s.step)
	}
	return length
}

// full is the scale of the whole length.
func (s scale) full() int64 {
	if s.kind == 'c' {
		return 2 * (s.whole / s.step)
	}
	return s.whole
}

// scalesOf returns scales for an axis that can matter for these lengths; the first is the length itself.
func scalesOf(whole int64, lengths []int64, most int) []scale {
	var steps []int64
	for _, l := range lengths {
		if l <= whole && 2*l <= whole {
			steps = append(steps, l)
		}
		if l < whole && 2*(whole-l) <= whole {
			steps = append(steps, whole-l, whole-l+1)
		}
	}
	slices.Sort(steps)
	steps = slices.Compact(steps)
	out := []scale{{'i', whole, 0}}
	for i, s := range steps {
		if i == most {
			break
		}
		if 2*s <= whole {
			out = append(out, scale{'u', whole, s})
		}
		out = append(out, scale{'c', whole, s})
	}
	return out
}

const mostSteps = 8 // steps tried along one axis when only one question is asked

// tooLarge looks whether the pieces exceed the room in some pair of scales.
func (q *question) tooLarge() bool {
	var ws, hs []int64
	for i := range q.kinds {
		if q.left[i] == 0 {
			continue
		}
		for _, way := range q.kinds[i].way[:q.kinds[i].ways] {
			ws, hs = append(ws, way[0]), append(hs, way[1])
		}
	}
	xs, ys := scalesOf(q.w, ws, mostSteps), scalesOf(q.h, hs, mostSteps)
	for _, sx := range xs {
		for _, sy := range ys {
			if q.exceeds(sx, sy) {
				return true
			}
		}
	}
	return false
}

func (q *question) exceeds(sx, sy scale) bool {
	shift := shiftFor(sx.full(), sy.full())
	room := shifted(sx.full(), sy.full(), shift)
	if shift > 0 {
		room++
	}
	for i, n := range q.left {
		if n == 0 {
			continue
		}
		if room -= int64(n) * q.kinds[i].scaled(q, sx, sy, shift); room < 0 {
			return true
		}
	}
	return false
}

// scaled is the least scaled area of a kind, over the ways in which it fits.
func (k *kind) scaled(q *question, sx, sy scale, shift uint) int64 {
	least := int64(-1)
	for _, way := range k.way[:k.ways] {
		if way[0] > q.w || way[1] > q.h {
			continue
		}
		if a := shifted(sx.of(way[0]), sy.of(way[1]), shift); least < 0 || a < least {
			least = a
		}
	}
	return max(least, 0)
}
