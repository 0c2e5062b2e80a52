package wrap

import (
	"fmt"
	"slices"

	"solander/fault"
	"solander/measure"
	"solander/packing"
	"solander/papers"
)

// tier is prints side by side: their shapes from above, in a mat whose longer side lies along x and whose
// upper left corner is at 0, 0, and the blocks that a cut along its middle meets.
type tier struct {
	prints int
	thick  measure.Length
	shapes []papers.Shape
	blocks []block
}

// block is part of a slab in section: how far from the left it begins, how wide and how thick it is.
type block struct {
	x, w, thick measure.Length
	round       bool
}

// gatherTiers lays the prints side by side, as the plan says.
func (b *build) gatherTiers(m *packing.Mat) {
	b.long, b.short = sorted(m.Width, m.Height)
	left := slices.Clone(b.leaves)
	for _, t := range m.Tiers {
		b.tiers = append(b.tiers, b.tier(t, m.Height > m.Width, &left))
	}
	step := b.step(b.tiersText(), "together "+papers.About(b.units, b.long, b.short))
	b.mat = slab{step: step, long: b.long, short: b.short}
	for _, t := range b.tiers {
		b.stack.slabs = append(b.stack.slabs, b.tierSlab(t))
	}
	if len(b.tiers) > drawnApart {
		b.stack.slabs = []slab{{step: step, thick: b.thickness(), long: b.long, short: b.short, role: papers.RolePrint}}
	}
	top := b.tiers[len(b.tiers)-1].shapes
	for _, s := range slices.Backward(top) { // the plan is drawn from its end
		s.X, s.Y = s.X-b.long/2, s.Y-b.short/2
		b.plan = append(b.plan, s)
	}
	b.plan = append(b.plan, centred(step, b.long, b.short, papers.RoleRoom))
}

// tier draws one tier; it takes its prints from those that are left.
func (b *build) tier(t packing.Tier, upright bool, left *[]leaf) tier {
	out := tier{prints: len(t.Spots), thick: t.Thickness}
	middle := t.Spots[0].Y + t.Spots[0].Height/2 // of the first print: where the tier is cut through
	if upright {
		middle = t.Spots[0].X + t.Spots[0].Width/2
	}
	for _, s := range t.Spots {
		if upright {
			s.X, s.Y, s.Width, s.Height = s.Y, s.X, s.Height, s.Width
		}
		at := slices.IndexFunc(*left, func(f leaf) bool { return f.sheet == s.Sheet && f.takes(s) })
		if at < 0 {
			continue // the sheet is not known
		}
		f := (*left)[at]
		*left = slices.Delete(*left, at, at+1)
		var thick measure.Length
		for _, x := range f.slabs {
			thick += x.thick
		}
		for _, x := range slices.Backward(f.outlines()) {
			w, h := x.long, x.short
			if s.Width < s.Height {
				w, h = h, w
			}
			shape := papers.Shape{Step: x.step, X: s.X + (s.Width-w)/2, Y: s.Y + (s.Height-h)/2, W: w, H: h, Role: x.role}
			if x.role == papers.RolePrint {
				shape.Print = b.pictured(f.sheet)
			}
			out.shapes = append(out.shapes, shape)
		}
		if s.Y <= middle && middle < s.Y+s.Height {
			out.blocks = append(out.blocks, block{x: s.X, w: s.Width, thick: thick})
		}
	}
	return out
}

func (b *build) tierSlab(t tier) slab {
	return slab{step: b.mat.step, thick: t.thick, long: b.mat.long, short: b.mat.short, role: papers.RolePrint, blocks: t.blocks}
}

// takes reports whether a print lies in a spot of this size.
func (f *leaf) takes(s packing.Spot) bool {
	long, short := sorted(s.Width, s.Height)
	return f.long == long && f.short == short
}

// outlines are the slabs of a print that differ from above, the innermost first.
func (f *leaf) outlines() []slab {
	var out []slab
	for _, s := range f.slabs {
		if !slices.ContainsFunc(out, func(o slab) bool { return o.step == s.step }) {
			out = append(out, s)
		}
	}
	slices.SortStableFunc(out, func(a, b slab) int { return a.step - b.step })
	return out
}

// tiersText says how the prints lie: "Lay the prints 2 side by side, as drawn."
func (b *build) tiersText() string {
	text := "Lay the prints " + b.parcel.Mat.Words() + ", as drawn"
	if apart := b.in.Wrap.Between; apart > 0 {
		text += "; keep them " + apart.In(b.units) + " apart"
	}
	return text + "."
}

// tierViews draws each tier from above when there are several; those that look the same are drawn once.
func (b *build) tierViews() []papers.View {
	if len(b.tiers) < 2 {
		return nil
	}
	var out []papers.View
	for from := 0; from < len(b.tiers); {
		to := from + 1
		for to < len(b.tiers) && slices.Equal(b.tiers[to].shapes, b.tiers[from].shapes) {
			to++
		}
		v := papers.View{Name: fmt.Sprintf("Tier %d, from above", from+1), Sizes: []string{fault.Count(b.tiers[from].prints, "print")}}
		if b.tiers[from].prints > 1 {
			v.Sizes[0] += " side by side"
		}
		if to > from+1 {
			v.Name = fmt.Sprintf("Tiers %d to %d, from above", from+1, to)
			v.Sizes[0] += " in each"
		}
		v.Shapes = append([]papers.Shape{{W: b.mat.long, H: b.mat.short, Role: papers.RoleRoom}}, b.tiers[from].shapes...)
		out = append(out, v)
		from = to
	}
	return out
}
