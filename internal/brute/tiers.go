package brute

import (
	"encoding/binary"
	"slices"

	"solander/measure"
	"solander/packing"
)

// leaf is one copy of a sheet with its layers per sheet on.
type leaf struct {
	order, sheet       string // order: of a parcel of several
	long, short, thick measure.Length
}

// leaves lists every copy as the items chosen make it.
func (t *options) leaves() []leaf {
	var out []leaf
	for _, c := range t.choice.Contents {
		s := t.find(c)
		of := ""
		if t.choice.Contents[0].Order != t.choice.Contents[len(t.choice.Contents)-1].Order {
			of = c.Order
		}
		l := leaf{of, c.Sheet, max(s.Width, s.Height), min(s.Width, s.Height), s.Caliper}
		for _, e := range t.choice.Layers {
			if e.Sheet != c.Sheet || e.Order != of {
				continue
			}
			item := t.item(e.Item)
			w, h := item.Width, item.Height
			switch item.Kind {
			case packing.Sleeve:
				w, h = item.OuterFlat()
				l.thick += 2 * item.Wall
			default:
				l.thick += item.Caliper * measure.Length(max(t.wrap.Layers[e.Layer].Count, 1))
			}
			if item.Kind != packing.Tissue {
				l.long, l.short = max(w, h), min(w, h)
			}
		}
		for range c.Copies {
			out = append(out, l)
		}
	}
	return out
}

// tiers tries every way to lay the leaves side by side in so many tiers: of those equally thick all that no
// other is smaller than.
func (t *options) tiers(number int) bool {
	leaves := t.leaves()
	key := keyOf(leaves, measure.Length(number), measure.Length(t.wrap.Beside), t.wrap.Between)
	mats, known := t.mats[key]
	if !known {
		mats = t.divide(leaves, nil, number)
		t.mats[key] = mats
	}
	for i := range mats {
		t.choice.Mat = &mats[i]
		if !t.yield(&t.choice) {
			return false
		}
	}
	t.choice.Mat = nil
	return true
}

func keyOf(leaves []leaf, more ...measure.Length) string {
	key := make([]byte, 0, 32*len(leaves)+32)
	for _, l := range leaves {
		key = append(append(append(append(key, l.order...), 0), l.sheet...), 0)
		for _, n := range [...]measure.Length{l.long, l.short, l.thick} {
			key = binary.AppendUvarint(key, uint64(n))
		}
	}
	for _, n := range more {
		key = binary.AppendUvarint(key, uint64(n))
	}
	return string(key)
}

// divide puts each leaf in one of the tiers begun or in a new one, in every way.
func (t *options) divide(leaves []leaf, tiers [][]leaf, number int) []packing.Mat {
	if len(leaves) == 0 {
		if len(tiers) != number || !slices.ContainsFunc(tiers, func(t []leaf) bool { return len(t) > 1 }) {
			return nil
		}
		return t.stacked(tiers)
	}
	var out []packing.Mat
	for i := range tiers {
		if len(tiers[i]) < t.wrap.Beside {
			was := tiers[i]
			tiers[i] = append(was[:len(was):len(was)], leaves[0])
			out = smallest(out, t.divide(leaves[1:], tiers, number))
			tiers[i] = was
		}
	}
	if len(tiers) < number {
		out = smallest(out, t.divide(leaves[1:], append(tiers[:len(tiers):len(tiers)], []leaf{leaves[0]}), number))
	}
	return out
}

// stacked is every mat of a division.
func (t *options) stacked(tiers [][]leaf) []packing.Mat {
	out := []packing.Mat{{}}
	for _, tier := range tiers {
		var next []packing.Mat
		for _, m := range out {
			for _, l := range t.laid(tier) {
				n := packing.Mat{Width: max(m.Width, l.Width), Height: max(m.Height, l.Height), Tiers: append(slices.Clone(m.Tiers), l.Tiers...)}
				next = smallest(next, []packing.Mat{n})
			}
		}
		out = next
	}
	return out
}

func thickness(m *packing.Mat) measure.Length {
	var sum measure.Length
	for _, t := range m.Tiers {
		sum += t.Thickness
	}
	return sum
}

// smallest adds mats to a list unless one equally thick there is no larger, and takes out what they make
// needless.
func smallest(list, more []packing.Mat) []packing.Mat {
	inside := func(a, b *packing.Mat) bool {
		return a.Width <= b.Width && a.Height <= b.Height && thickness(a) == thickness(b)
	}
	for _, m := range more {
		if !slices.ContainsFunc(list, func(o packing.Mat) bool { return inside(&o, &m) }) {
			list = append(slices.DeleteFunc(list, func(o packing.Mat) bool { return inside(&m, &o) }), m)
		}
	}
	return list
}

// laid is every way to lay leaves beside one another: for each way round of each, and for each two whether the
// one lies left of, right of, below or above the other, as near to the corner as that allows.
func (t *options) laid(tier []leaf) []packing.Mat {
	key := keyOf(tier, t.wrap.Between)
	if known, ok := t.mats[key]; ok {
		return known
	}
	var out []packing.Mat
	n := len(tier)
	pairs := n * (n - 1) / 2
	spots := make([]packing.Spot, n)
	for turned := range 1 << n {
		for sides := range 1 << (2 * pairs) {
			if m, ok := laidSo(spots, tier, turned, sides, t.wrap.Between); ok && !slices.ContainsFunc(out, func(o packing.Mat) bool { return o.Width <= m.Width && o.Height <= m.Height }) {
				m.Tiers[0].Spots = slices.Clone(spots)
				out = smallest(out, []packing.Mat{m})
			}
		}
	}
	t.mats[key] = out
	return out
}

// laidSo lays leaves one way, on spots: turned has a bit for each, sides two for each pair.
func laidSo(spots []packing.Spot, tier []leaf, turned, sides int, between measure.Length) (packing.Mat, bool) {
	n := len(tier)
	var out packing.Tier
	for i, l := range tier {
		spots[i] = packing.Spot{Order: l.order, Sheet: l.sheet, Width: l.long, Height: l.short}
		if turned>>i&1 != 0 {
			spots[i].Width, spots[i].Height = l.short, l.long
		}
		out.Thickness = max(out.Thickness, l.thick)
	}
	for round := range n + 1 { // as far as the longest chain; one that goes on moving is a circle
		moved, s := false, sides
		for i := range n {
			for j := range i {
				first, second, up := &spots[i], &spots[j], s&1 != 0
				if s&2 != 0 {
					first, second = second, first
				}
				s >>= 2
				if up {
					if y := first.Y + first.Height + between; second.Y < y {
						second.Y, moved = y, true
					}
				} else if x := first.X + first.Width + between; second.X < x {
					second.X, moved = x, true
				}
			}
		}
		if moved && round == n {
			return packing.Mat{}, false
		}
		if !moved {
			break
		}
	}
	m := packing.Mat{Tiers: []packing.Tier{out}}
	for _, s := range spots {
		m.Width, m.Height = max(m.Width, s.X+s.Width), max(m.Height, s.Y+s.Height)
	}
	return m, true
}
