package check

import (
	"slices"

	"solander/measure"
	"solander/packing"
	"solander/packing/check/exact"
)

// roll is sheets wound together.
type roll struct {
	axis, strip measure.Length
	thick       measure.Length // of all that is wound
	inner       measure.Length
	outer       measure.Length // known once it goes into the tube
	// of the tube, outside
	length, across measure.Length
}

// wind rolls the leaves about the axis chosen. Source: docs/formats/physics.md, section 3.
func (b *body) wind(p *Packed, leaves []leaf, choice *packing.RollPlan) {
	if choice == nil {
		p.lose(malformed("plan.roll", "a rolled parcel says how it is rolled"))
		return
	}
	r := &roll{inner: p.wrap.Core}
	b.roll = r
	isSide := false
	for _, l := range leaves {
		isSide = isSide || choice.Axis == l.long || choice.Axis == l.short
		if l.sheet.Roll != nil {
			r.inner = max(r.inner, l.sheet.Roll.Tightest)
		}
		along, across := l.long, l.short
		if along > choice.Axis {
			along, across = across, along
		}
		if along > choice.Axis {
			p.lose(malformed("plan.roll", "sheet %q does not lie along an axis of %d nm", l.sheet.ID, choice.Axis))
			return
		}
		r.axis, r.strip = max(r.axis, along), max(r.strip, across)
		r.thick += measure.Length(l.copies) * l.thick
	}
	if !isSide {
		p.lose(malformed("plan.roll", "no sheet has a side of %d nm", choice.Axis))
	}
}

// intoTube rolls up what there is and puts it into a tube.
func (b *body) intoTube(p *Packed, c chosen) {
	r, item := b.roll, c.item
	if r == nil {
		p.lose(malformed("plan.layers", "a tube in a flat wrap"))
		return
	}
	r.outer = exact.RolledUp(r.strip, r.thick, r.inner)
	p.notOver("tube.diameter", r.outer+c.layer.Clearance.Across, item.Diameter)
	p.notOver("tube.length", r.axis+2*c.layer.Clearance.Ends, c.cutTo)
	length, across := item.Length, item.Diameter+2*item.Wall
	if item.Outer != nil {
		length, across = given(item.Outer.Length, length), given(item.Outer.Diameter, across)
	}
	length -= item.Length - c.cutTo
	r.length, r.across = length, across
	b.long, b.short, b.thick = max(length, across), min(length, across), across
}

// axes returns every side that a leaf of a choice may have, ascending: any may be the axis of its roll. A sheet
// that is not known has none.
func (r *Reckoner) axes(choice *packing.Parcel, sheet func(packing.Content) *packing.Sheet) []measure.Length {
	var sides []measure.Length
	for _, c := range choice.Contents {
		if s := sheet(c); s != nil {
			sides = append(sides, s.Width, s.Height)
		}
	}
	for _, e := range choice.Layers {
		if e.Kind == packing.Sleeve && e.Sheet != "" {
			long, short := outerSides(r.items[e.Item])
			sides = append(sides, long, short)
		}
	}
	slices.Sort(sides)
	return slices.Compact(sides)
}
