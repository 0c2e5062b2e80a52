package check

import "solander/packing"

// isRolled reports whether a wrap of both shapes rolls a sheet: one that may be rolled and is longer than flat_to.
// Source: docs/formats/physics.md, section 6.
func isRolled(w *packing.Wrap, s *packing.Sheet) bool {
	return s.Roll != nil && max(s.Width, s.Height) > w.FlatTo
}

// within reports whether a layer goes round a sheet at all: of a wrap of both shapes some only round one of them.
func within(w *packing.Wrap, l *packing.Layer, s *packing.Sheet) bool {
	return l.Of == "" || isRolled(w, s) == (l.Of == packing.Rolled)
}

// tiersOf is how many tiers a layer goes round, or copies, where each lies on the one below.
func (p *Packed) tiersOf(l *packing.Layer, leaves []leaf) int {
	if l.Of == "" {
		return p.levels
	}
	n := 0
	for i := range leaves {
		if within(p.wrap, l, leaves[i].sheet) {
			n += leaves[i].copies
		}
	}
	return n
}

// piecesOf is how many entries and pieces a layer has for some contents: of one per sheet an entry for each that it goes
// round; each is called with the content and the pieces, or with none.
func piecesOf(w *packing.Wrap, l *packing.Layer, contents []packing.Content, tiers int, sheet func(packing.Content) *packing.Sheet, each func(of packing.Content, pieces int) bool) bool {
	count, copies := max(l.Count, 1), 0
	for _, c := range contents {
		if s := sheet(c); s == nil || !within(w, l, s) {
			continue
		}
		copies += c.Copies
		if l.Per == packing.PerSheet && !each(c, count*c.Copies) {
			return false
		}
	}
	if l.Of == "" {
		copies = tiers
	}
	switch {
	case l.Per == packing.PerSheet:
		return true
	case l.Per != packing.PerGap:
		return each(packing.Content{}, count)
	}
	return copies < 2 || each(packing.Content{}, count*(copies-1))
}

// someOfBoth looks whether something is rolled and something lies flat.
func (p *Packed) someOfBoth(leaves []leaf) {
	rolled := 0
	for i := range leaves {
		if isRolled(p.wrap, leaves[i].sheet) {
			rolled += leaves[i].copies
		}
	}
	if rolled == 0 {
		p.breaks("wrap.rolled", 0, 1, "sheets")
	}
	if rolled == p.copies {
		p.breaks("wrap.flat", 0, 1, "sheets")
	}
}

// packBoth packs sheets of which some are rolled and the others lie flat. Source: docs/formats/physics.md, section 6.
func (p *Packed) packBoth(choice *packing.Parcel, leaves []leaf, layers []chosen) {
	roll := p.partOf(packing.Rolled, leaves, &layers)
	if len(roll.leaves) > 0 {
		roll.wind(p, roll.leaves, choice.Roll)
		roll.putAll(p, roll.layers)
	}
	if p.done() {
		return
	}
	flat := p.partOf(packing.Flat, leaves, &layers)
	flat.stack(flat.leaves)
	flat.putAll(p, flat.layers)
	if p.done() || len(roll.leaves) == 0 || len(flat.leaves) == 0 {
		return
	}
	b := p.laid(roll.roll, &flat.body, choice.Roll)
	b.putAll(p, layers)
	p.closed(&b, choice.Roll)
}

// part is what is rolled of a parcel, or lies flat: its leaves with their own layers on, and the layers round all of them.
type part struct {
	body
	leaves []leaf
	layers []chosen
}

// partOf takes from the layers those of one shape.
func (p *Packed) partOf(shape packing.Shape, leaves []leaf, layers *[]chosen) part {
	var out part
	for len(*layers) > 0 && (*layers)[0].layer.Of == shape {
		c := (*layers)[0]
		*layers = (*layers)[1:]
		if c.leaf >= 0 {
			leaves[c.leaf].wrapIn(p, c)
			continue
		}
		out.layers = append(out.layers, c)
	}
	for i := range leaves {
		if isRolled(p.wrap, leaves[i].sheet) == (shape == packing.Rolled) {
			out.leaves = append(out.leaves, leaves[i])
			out.tiers += int64(leaves[i].copies)
		}
	}
	return out
}

// laid puts the tube on the flat pack or beside it.
func (p *Packed) laid(r *roll, flat *body, lies *packing.RollPlan) body {
	out := body{roll: r, thick: max(flat.thick, r.across)}
	a, b := flat.long, flat.short
	switch lies.Lies {
	case packing.OnPack:
		a, b, out.thick = max(a, r.length, r.across), max(b, min(r.length, r.across)), flat.thick+r.across
	case packing.BesideLong:
		a, b = max(a, r.length), b+r.across
	case packing.BesideShort:
		a, b = a+r.across, max(b, r.length)
	default:
		p.lose(malformed("plan.roll", "the tube lies %q, not on what is flat, nor beside its long or short side", lies.Lies))
	}
	out.long, out.short = max(a, b), min(a, b)
	return out
}

// rolls are the ways to roll a choice in its wrap: every axis, and how the tube may lie; none where nothing is rolled.
func (r *Reckoner) rolls(w *packing.Wrap, choice *packing.Parcel, sheet func(packing.Content) *packing.Sheet) []*packing.RollPlan {
	var out []*packing.RollPlan
	rolled := false
	for _, c := range choice.Contents {
		s := sheet(c)
		rolled = rolled || s != nil && (w.Shape == packing.Rolled || w.Shape == packing.Both && isRolled(w, s))
	}
	if !rolled {
		return []*packing.RollPlan{nil}
	}
	lies := []packing.Lies{""}
	if w.Shape == packing.Both {
		lies = []packing.Lies{packing.OnPack, packing.BesideLong, packing.BesideShort}
	}
	for _, side := range r.axes(choice, sheet) {
		for _, at := range lies {
			out = append(out, &packing.RollPlan{Axis: side, Lies: at})
		}
	}
	return out
}
