package onesheet

import "slices"

// points are the lengths at which a cut need be made along one axis: sums of sides, from 0 up to the whole.
// A piece may be pushed back until it touches another, so that no others are needed (J. C. Herz, "Recursive
// computational procedure for two-dimensional stock cutting", 1972).
type points []int64

// sumsOf returns the points, or false when there are more than most of them.
func sumsOf(sides []side, whole int64, most int) (points, bool) {
	set := points{0}
	for _, s := range sides {
		for n := 0; s.most == 0 || n < s.most; n++ {
			next := set.with(s.length, whole)
			if len(next) > most {
				return nil, false
			}
			if len(next) == len(set) {
				break
			}
			set = next
		}
	}
	return set, true
}

type side struct {
	length int64
	most   int // 0 is any number
}

// with adds every point and one length more.
func (p points) with(length, whole int64) points {
	out := slices.Clone(p)
	for _, b := range p {
		if b+length <= whole {
			out = append(out, b+length)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// at returns the index of the last point not over length.
func (p points) at(length int64) int {
	i, ok := slices.BinarySearch(p, length)
	if ok {
		return i
	}
	return i - 1
}
