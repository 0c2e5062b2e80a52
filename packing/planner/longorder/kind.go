package longorder

import (
	"slices"

	"solander/measure"
	"solander/packing/planner/means"
)

// kind is a kind of parcels, told by the wrap, the largest sides and the grades. Postage and packaging are steps of these
// rather than of single sheets, so that the numbers of parcels of a kind, which are whole in every plan, part the plans best.
type kind struct {
	wrap        *means.Wrap    // nil: any
	long, short measure.Length // of the largest sheets, at least
	mask        uint           // some of these grade conditions are met; 0: any
}

// has reports whether a parcel is of the kind.
func (k *kind) has(c *column) bool {
	return k.of(c.Wrap, c.mask) && c.long >= k.long && c.short >= k.short
}

func (k *kind) of(w *means.Wrap, mask uint) bool {
	return (k.wrap == nil || k.wrap == w) && (k.mask == 0 || k.mask&mask != 0)
}

// tells reports whether the parcels of a field are of the kind: all are or none, since kinds begin where bands of sides do.
func (k *kind) tells(f *field) bool {
	return k.of(f.Wrap, f.Profile.Mask) && f.Profile.LongFrom >= k.long && f.Profile.ShortFrom >= k.short
}

// kinds lists the kinds that are told apart, first that of all parcels.
func (x *master) kinds() []kind {
	sides, wraps, masks := [][2]measure.Length{{}}, []*means.Wrap{nil}, []uint{0}
	for _, f := range x.fields {
		p := f.Profile
		sides, wraps = append(sides, [2]measure.Length{p.LongFrom, 0}, [2]measure.Length{0, p.ShortFrom}), append(wraps, f.Wrap)
		masks[0] |= p.Mask
	}
	if masks[0] != 0 {
		masks = append([]uint{0}, masks...)
	}
	slices.SortFunc(sides, func(a, b [2]measure.Length) int { return slices.Compare(a[:], b[:]) })
	slices.SortStableFunc(wraps[1:], func(a, b *means.Wrap) int { return a.Index - b.Index })
	var out []kind
	for _, s := range slices.Compact(sides) {
		for _, w := range slices.Compact(wraps) {
			for _, m := range masks {
				out = append(out, kind{wrap: w, long: s[0], short: s[1], mask: m})
			}
		}
	}
	return out
}
