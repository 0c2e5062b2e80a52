package check

import (
	"solander/measure"
	"solander/packing"
	"solander/tariff"
)

// body is what the layers of the whole parcel go round: a flat stack, a roll, or what has become of it.
type body struct {
	tiers       int64 // or sheets, where each lies on the one below
	long, short measure.Length
	thick       measure.Length
	boxed       bool // after a carton: its own three sides
	sides       [3]measure.Length
	roll        *roll
}

// stack lays the leaves on one another. Source: docs/formats/physics.md, section 2.
func (b *body) stack(leaves []leaf) {
	for _, l := range leaves {
		b.long, b.short = max(b.long, l.long), max(b.short, l.short)
		b.thick += measure.Length(l.copies) * l.thick
	}
}

// outer are the three sides of what there is.
func (b *body) outer() [3]measure.Length {
	if b.boxed {
		return b.sides
	}
	return [3]measure.Length{b.long, b.short, b.thick}
}

// putAll adds layers of the whole parcel, or of what is rolled or lies flat of it.
func (b *body) putAll(p *Packed, layers []chosen) {
	for _, c := range layers {
		if p.done() {
			return
		}
		b.put(p, c)
	}
}

// put adds a layer of the whole parcel.
func (b *body) put(p *Packed, c chosen) {
	b.boxed = false
	switch c.layer.Kind {
	case packing.Tissue:
		b.cover(p, c)
	case packing.Board:
		boarded(p, c, b.long, b.short)
		b.long, b.short = sides(c.item)
		b.thick += measure.Length(max(c.layer.Count, 1)) * c.item.Caliper
	case packing.Sleeve, packing.Envelope:
		enclosed(p, c, b.long, b.short, b.thick)
		b.long, b.short = outerSides(c.item)
		b.thick += 2 * c.item.Wall
	case packing.Tube:
		b.intoTube(p, c)
	case packing.Carton:
		b.intoCarton(p, c)
	}
}

// cover lays tissue on the stack, in its gaps, or on what will be rolled.
func (b *body) cover(p *Packed, c chosen) {
	pieces := int64(max(c.layer.Count, 1))
	if c.layer.Per == packing.PerGap {
		pieces *= b.tiers - 1
	}
	long, short := b.long, b.short
	if b.roll != nil {
		long, short = max(b.roll.axis, b.roll.strip), min(b.roll.axis, b.roll.strip)
		b.roll.thick += measure.Length(pieces) * c.item.Caliper
	}
	tissueLong, tissueShort := sides(c.item)
	p.notOver("tissue.length", long, tissueLong)
	p.notOver("tissue.width", short, tissueShort)
	b.thick += measure.Length(pieces) * c.item.Caliper
}

// intoCarton lays the stack on a carton's base. Source: docs/formats/physics.md, section 5.
func (b *body) intoCarton(p *Packed, c chosen) {
	item, room := c.item, c.layer.Clearance
	p.notOver("carton.length", b.long+2*room.Sides, max(c.length, c.width))
	p.notOver("carton.width", b.short+2*room.Sides, min(c.length, c.width))
	need := b.thick + room.Thickness
	p.notOver("carton.height", need, c.cutTo)
	if c.layer.Empty != nil && need <= c.cutTo {
		p.notOver("carton.empty", c.cutTo-need, *c.layer.Empty)
	}
	length, width, height := item.Length+2*item.Wall, item.Width+2*item.Wall, item.Height+2*item.Wall
	if o := item.Outer; o != nil {
		length, width, height = given(o.Length, length), given(o.Width, width), given(o.Height, height)
	}
	length, width, height = length-(item.Length-c.length), width-(item.Width-c.width), height-(item.Height-c.cutTo)
	b.sides, b.boxed = [3]measure.Length{length, width, height}, true
	b.long, b.short, b.thick = max(length, width), min(length, width), height
}

func given(stated, otherwise measure.Length) measure.Length {
	if stated > 0 {
		return stated
	}
	return otherwise
}

// sorted puts three sides in order, longest first.
func sorted(s [3]measure.Length) tariff.Size {
	long, short := max(s[0], s[1], s[2]), min(s[0], s[1], s[2])
	return tariff.Size{Length: long, Width: s[0] + s[1] + s[2] - long - short, Height: short}
}
