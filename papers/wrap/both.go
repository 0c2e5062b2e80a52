package wrap

import (
	"slices"
	"strings"

	"solander/measure"
	"solander/packing"
	"solander/papers"
)

// sortOf says which prints of a parcel of both shapes a layer goes round. A layer of a recipe that was changed meanwhile is judged by
// where it stands: up to the tube, or from the last carton on.
func (b *build) sortOf(layers []packing.LayerPlan, i int) packing.Shape {
	if b.in.Wrap.Shape == packing.Both && layers[i].Layer < len(b.in.Wrap.Layers) {
		return b.in.Wrap.Layers[layers[i].Layer].Of
	}
	kind := func(k packing.Kind) func(packing.LayerPlan) bool {
		return func(l packing.LayerPlan) bool { return l.Kind == k }
	}
	switch {
	case slices.ContainsFunc(layers[i:], kind(packing.Tube)):
		return packing.Rolled
	case slices.ContainsFunc(layers[i:], kind(packing.Carton)) && layers[i].Kind != packing.Carton:
		return packing.Flat
	}
	return ""
}

// runBoth rolls some of the prints, lays the others flat, puts the tube with what is flat, and goes on round both.
func (b *build) runBoth() {
	var by [3][]packing.LayerPlan // rolled, flat, round all
	for i, l := range b.parcel.Layers {
		at := slices.Index([]packing.Shape{packing.Rolled, packing.Flat, ""}, b.sortOf(b.parcel.Layers, i))
		by[at] = append(by[at], l)
	}
	all := b.leaves
	rolled := func(f leaf) bool { return f.rolled }
	flat := func(f leaf) bool { return !f.rolled }
	b.leaves = slices.DeleteFunc(slices.Clone(all), flat)
	b.within(by[0])
	b.stack, b.between = stack{}, nil
	b.leaves = slices.DeleteFunc(slices.Clone(all), rolled)
	b.step("Flat: "+strings.Join(b.leafNames(), "; ")+".", "they go into the same carton")
	b.within(by[1])
	if b.tube != nil {
		b.layTube()
	}
	for _, l := range by[2] {
		b.layer(l)
	}
}

// within wraps the prints in layers: all of them, or those of one sort in their own.
func (b *build) within(layers []packing.LayerPlan) {
	for len(layers) > 0 && b.per(layers[0]) == packing.PerSheet {
		b.perSheet(layers[0])
		layers = layers[1:]
	}
	if m := b.parcel.Mat; m != nil && len(m.Tiers) > 0 {
		b.gatherTiers(m)
	} else {
		b.gather()
	}
	for _, l := range layers {
		b.layer(l)
	}
}

// layTube lays the tube on what is flat or next to it. Source of the sizes: docs/formats/physics.md, section 6.
func (b *build) layTube() {
	t, pack := b.tube, b.stack
	long, short := sorted(t.outerLen, t.outer)
	text, free := "Lay the tube on the flat prints.", measure.Length(0)
	along, across := max(pack.long, long), max(pack.short, short)
	tube := papers.Shape{Role: papers.RoleShell, W: long, H: short}
	shift := measure.Length(0) // of the pack, across
	switch b.parcel.Roll.Lies {
	case packing.BesideLong:
		text = "Lay the tube next to the flat prints, along their long side."
		along, across = max(pack.long, t.outerLen), pack.short+t.outer
		tube.W, tube.H, shift = t.outerLen, t.outer, t.outer/2
	case packing.BesideShort:
		text = "Lay the tube next to the flat prints, along their short side."
		along, across = max(pack.short, t.outerLen), pack.long+t.outer
		tube.W, tube.H, shift = t.outerLen, t.outer, t.outer/2
		pack = pack.turned()
	}
	high := pack.thickness() + t.outer
	if shift > 0 {
		high = max(pack.thickness(), t.outer)
		free = max(0, t.outer-pack.thickness())
	}
	step := b.step(text, "together "+papers.About(b.units, max(along, across), min(along, across), high)+"; fill what is left, so that nothing can slide")
	tube.Step = t.step
	tube.X, tube.Y = -tube.W/2, -tube.H/2
	if shift > 0 {
		tube.Y = across/2 - t.outer
	}
	out := stack{long: max(along, across), short: min(along, across)}
	for _, s := range pack.plan {
		s.Y -= shift
		out.plan = append(out.plan, s)
	}
	out.plan = append([]papers.Shape{tube}, out.plan...)
	if across > along {
		for i, s := range out.plan {
			out.plan[i] = turned(s)
		}
	}
	out.plan = append(out.plan, centred(step, out.long, out.short, papers.RoleRoom))
	switch {
	case shift == 0:
		out.slabs, out.shells = pack.slabs, pack.shells
		out.slabs = append(out.slabs, slab{step: t.step, thick: t.outer, long: long, short: short, role: papers.RoleShell})
	case across > along: // cut through both
		out.slabs = []slab{{step: t.step, long: across, role: papers.RoleShell, blocks: []block{{x: across - t.outer, w: t.outer, thick: t.outer, round: true}}}}
		for _, s := range pack.slabs {
			wide := s.short
			if b.parcel.Roll.Lies == packing.BesideShort {
				wide = s.long
			}
			s.blocks, s.long = []block{{x: (across - t.outer - wide) / 2, w: wide, thick: s.thick}}, across
			out.slabs = append(out.slabs, s)
		}
	default: // the tube lies before the cut
		out.slabs, out.shells = pack.slabs, pack.shells
	}
	if free > 0 {
		out.slabs = append(out.slabs, slab{step: step, thick: free, long: out.long, short: out.short, role: papers.RoleRoom})
	}
	b.stack = out
}

// turned is a stack seen with its short side to the right.
func (s stack) turned() stack {
	s.plan = slices.Clone(s.plan)
	for i, x := range s.plan {
		s.plan[i] = turned(x)
	}
	return s
}

func turned(s papers.Shape) papers.Shape {
	s.X, s.Y, s.W, s.H = s.Y, s.X, s.H, s.W
	return s
}
