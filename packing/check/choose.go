package check

import (
	"slices"

	"solander/measure"
	"solander/packing"
	"solander/packing/check/exact"
)

// chosen is one entry of a parcel's layers with what it refers to.
type chosen struct {
	layer *packing.Layer
	item  *packing.Item
	cutTo measure.Length // inner size after cutting; the full one when uncut
	// sides of a carton's base inside, after cutting
	length, width measure.Length
	leaf          int // which leaf it goes round; -1: more than one
}

// choose reads the entries of a parcel's layers against its wrap: kinds, items allowed, pieces, cuts, and
// the same item for all alike sheets. It takes mass, stiffness and class of the packaging into the parcel.
// Source: docs/formats/problem.md, sections 5 and 6; plan.md, section 3.
func (r *Reckoner) choose(p *Packed, entries []packing.LayerPlan, leaves []leaf) []chosen {
	all := make([]chosen, 0, len(entries))
	next := func(layer, count, at int) {
		of := leaf{}
		if at >= 0 {
			of = leaves[at]
		}
		switch n := len(all); {
		case p.lost:
		case n == len(entries):
			p.lose(malformed("plan.layers", "layer %d of wrap %q has no entry", layer, p.wrap.ID))
		default:
			c := r.entry(p, &entries[n], layer, count, of)
			c.leaf = at
			all = append(all, c)
		}
	}
	for li := range p.wrap.Layers {
		layer := &p.wrap.Layers[li]
		count := max(layer.Count, 1)
		switch {
		case layer.Per == packing.PerSheet:
			first := len(all)
			for i := range leaves {
				if within(p.wrap, layer, leaves[i].sheet) {
					next(li, count*leaves[i].copies, i)
				}
			}
			if !p.lost {
				p.alikeTheSame(leaves, all[first:])
			}
		case layer.Per != packing.PerGap:
			next(li, count, -1)
		case p.tiersOf(layer, leaves) > 1:
			next(li, count*(p.tiersOf(layer, leaves)-1), -1)
		}
	}
	if len(all) < len(entries) && !p.lost {
		p.lose(malformed("plan.layers", "expected %d entries, found %d", len(all), len(entries)))
	}
	if !p.lost && (len(all) == 0 || all[len(all)-1].leaf >= 0) {
		p.lose(malformed("plan.layers", "the wrap %q has no outer layer", p.wrap.ID))
	}
	return all
}

// entry reads one entry, of which layer, pieces and sheet are known; the zero leaf is no sheet.
func (r *Reckoner) entry(p *Packed, e *packing.LayerPlan, li, count int, of leaf) chosen {
	layer, item := &p.wrap.Layers[li], r.items[e.Item]
	sheet, order := "", ""
	if of.sheet != nil {
		sheet = of.sheet.ID
	}
	if len(p.orders) > 1 {
		order = of.order
	}
	switch {
	case e.Layer != li || e.Sheet != sheet || e.Order != order:
		p.lose(malformed("plan.layers", "expected an entry for layer %d sheet %q of %q, found layer %d sheet %q of %q", li, sheet, order, e.Layer, e.Sheet, e.Order))
	case e.Kind != layer.Kind:
		p.lose(malformed("plan.kind", "layer %d is a %s, found %q", li, layer.Kind, e.Kind))
	case item == nil:
		p.lose(malformed("plan.item", "there is no item %q", e.Item))
	case item.Kind != layer.Kind:
		p.lose(malformed("plan.item", "item %q is a %s, layer %d wants a %s", e.Item, item.Kind, li, layer.Kind))
	case len(layer.Items) > 0 && !slices.Contains(layer.Items, e.Item):
		p.lose(malformed("plan.item", "layer %d does not allow item %q", li, e.Item))
	}
	if p.lost {
		return chosen{}
	}
	if e.Count != count {
		p.broken = append(p.broken, *malformed("plan.pieces", "layer %d: expected %d pieces of %q, found %d", li, count, e.Item, e.Count))
	}
	full := fullSize(item)
	c := chosen{layer: layer, item: item, cutTo: full, length: item.Length, width: item.Width}
	if e.CutTo != 0 {
		c.cutTo = e.CutTo
		if !cutAllowed(item, e.CutTo) {
			p.broken = append(p.broken, *malformed("plan.cut", "%q cannot be cut to %d nm", e.Item, e.CutTo))
		}
	}
	p.baseCut(&c, e)
	p.mass += measure.Mass(count) * item.Mass
	p.stiff = p.stiff || item.Kind == packing.Carton || item.Kind == packing.Tube || item.Stiff
	if item.IssuedFor != "" {
		p.issued = append(p.issued, item.IssuedFor)
	}
	return c
}

// alikeTheSame looks whether alike sheets have the same items in a layer per sheet.
func (p *Packed) alikeTheSame(leaves []leaf, layer []chosen) {
	for i := range layer {
		for j := range i {
			a, b := leaves[layer[j].leaf], leaves[layer[i].leaf]
			if layer[i].item != layer[j].item && a.order == b.order && alike(a.sheet, b.sheet) {
				p.broken = append(p.broken, *malformed("plan.alike", "sheets %q and %q are alike but have different items", a.sheet.ID, b.sheet.ID))
			}
		}
	}
}

// fullSize is the inner size that cutting shortens; 0 for what is never cut.
func fullSize(item *packing.Item) measure.Length {
	switch item.Kind {
	case packing.Tube:
		return item.Length
	case packing.Carton:
		return item.Height
	}
	return 0
}

// cutAllowed reports whether an item may be cut to a size below its full one.
func cutAllowed(item *packing.Item, size measure.Length) bool {
	c := item.Cut
	return c != nil && c.Step > 0 && size < fullSize(item) && size >= c.Shortest && (size-c.Shortest)%c.Step == 0
}

// alike reports whether two sheets differ in id, copies, note and which side is the width at most.
func alike(a, b *packing.Sheet) bool {
	return (a.Width == b.Width && a.Height == b.Height || a.Width == b.Height && a.Height == b.Width) && a.Caliper == b.Caliper && exact.MassOf(a) == exact.MassOf(b) &&
		a.Value == b.Value && a.Grade == b.Grade && a.Stiff == b.Stiff &&
		(a.Roll == nil) == (b.Roll == nil) && (a.Roll == nil || *a.Roll == *b.Roll)
}
