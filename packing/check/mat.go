package check

import (
	"maps"
	"slices"

	"solander/measure"
	"solander/packing"
)

// tiers reads how sheets lie side by side: how many lie in a tier, and how many tiers there are. Whether they
// have room is looked at once their layers per sheet are on.
// Source: docs/formats/problem.md, section 6; plan.md, section 3.
func (p *Packed) tiers(mat *packing.Mat) {
	p.levels = p.copies
	if mat == nil {
		return
	}
	p.mat, p.levels = mat, len(mat.Tiers)
	if p.wrap.Shape != packing.Flat || p.wrap.Beside < 2 {
		p.lose(malformed("plan.mat", "the wrap %q lays no sheets side by side", p.wrap.ID))
		return
	}
	left := map[[2]string]int{} // by order, named where there are several, and sheet
	for _, c := range p.contents {
		left[[2]string{p.named(c.Order), c.Sheet}] = c.Copies
	}
	most := 0
	for i, t := range mat.Tiers {
		most = max(most, len(t.Spots))
		if len(t.Spots) == 0 || len(t.Spots) > p.wrap.Beside {
			p.lose(malformed("plan.mat", "tier %d: expected 1 to %d sheets, found %d", i, p.wrap.Beside, len(t.Spots)))
			return
		}
		for _, s := range t.Spots {
			left[[2]string{s.Order, s.Sheet}]--
		}
	}
	if most < 2 {
		p.lose(malformed("plan.mat", "no two sheets lie side by side"))
		return
	}
	for _, of := range slices.SortedFunc(maps.Keys(left), func(a, b [2]string) int { return slices.Compare(a[:], b[:]) }) {
		if n := left[of]; n != 0 {
			p.lose(malformed("plan.mat", "sheet %q of order %q: %d more in the parcel than in its tiers", of[1], of[0], n))
			return
		}
	}
}

// named is the order as a spot names it: only in a parcel of several.
func (p *Packed) named(order string) string {
	if len(p.orders) > 1 {
		return order
	}
	return ""
}

// layOut lays the leaves side by side: each within the mat, no two nearer than the wrap allows. The mat is no
// larger than they need. Source: docs/formats/physics.md, section 2.
func (b *body) layOut(p *Packed, leaves []leaf) {
	mat := p.mat
	var width, height measure.Length
	for i := range mat.Tiers {
		t := &mat.Tiers[i]
		thick := measure.Length(0)
		for j, s := range t.Spots {
			l := leaves[slices.IndexFunc(leaves, func(l leaf) bool { return l.sheet.ID == s.Sheet && p.named(l.order) == s.Order })]
			thick = max(thick, l.thick)
			if max(s.Width, s.Height) != l.long || min(s.Width, s.Height) != l.short {
				p.lose(malformed("plan.mat", "tier %d: sheet %q takes %d × %d nm, found %d × %d", i, s.Sheet, l.long, l.short, s.Width, s.Height))
			}
			if s.X < 0 || s.Y < 0 || s.X > measure.MaxLength || s.Y > measure.MaxLength {
				p.lose(malformed("plan.mat", "tier %d: sheet %q lies beyond the mat", i, s.Sheet))
			}
			width, height = max(width, s.X+s.Width), max(height, s.Y+s.Height)
			for _, o := range t.Spots[:j] {
				if !apart(s, o, p.wrap.Between) {
					p.lose(malformed("plan.mat", "tier %d: sheets %q and %q lie on one another, or nearer than %d nm", i, o.Sheet, s.Sheet, p.wrap.Between))
				}
			}
			if p.lost {
				return
			}
		}
		if t.Thickness != thick {
			p.lose(malformed("plan.mat", "tier %d: expected a thickness of %d nm, found %d", i, thick, t.Thickness))
			return
		}
		b.thick += thick
	}
	if width != mat.Width || height != mat.Height {
		p.lose(malformed("plan.mat", "expected a mat of %d × %d nm, found %d × %d", width, height, mat.Width, mat.Height))
	}
	b.long, b.short = max(width, height), min(width, height)
}

// apart reports whether two sheets lie so far from one another, left or right, above or below.
func apart(a, b packing.Spot, by measure.Length) bool {
	return a.X+a.Width+by <= b.X || b.X+b.Width+by <= a.X || a.Y+a.Height+by <= b.Y || b.Y+b.Height+by <= a.Y
}
