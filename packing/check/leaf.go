package check

import (
	"solander/measure"
	"solander/packing"
)

// leaf is one sheet of a parcel, with what its layers per sheet have made of it.
type leaf struct {
	order       string
	sheet       *packing.Sheet
	copies      int
	long, short measure.Length
	thick       measure.Length
}

func leafOf(s *packing.Sheet, order string, copies int) leaf {
	return leaf{order, s, copies, max(s.Width, s.Height), min(s.Width, s.Height), s.Caliper}
}

// wrapIn puts a layer per sheet round the leaf. Source: docs/formats/physics.md, section 1.
func (l *leaf) wrapIn(p *Packed, c chosen) {
	long, short := sides(c.item)
	pieces := measure.Length(max(c.layer.Count, 1))
	switch c.layer.Kind {
	case packing.Sleeve:
		enclosed(p, c, l.long, l.short, l.thick)
		l.long, l.short = outerSides(c.item)
		l.thick += 2 * c.item.Wall
	case packing.Tissue:
		p.notOver("tissue.length", l.long, long)
		p.notOver("tissue.width", l.short, short)
		l.thick += pieces * c.item.Caliper
	case packing.Board:
		boarded(p, c, l.long, l.short)
		l.long, l.short = long, short
		l.thick += pieces * c.item.Caliper
	}
}

// notOver notes that a length is more than a limit.
func (p *Packed) notOver(rule string, got, limit measure.Length) {
	if got > limit {
		p.breaks(rule, int64(got), int64(limit), "nm")
	}
}

// sides are the longer and the shorter side of an item that lies flat.
func sides(item *packing.Item) (long, short measure.Length) {
	return max(item.Width, item.Height), min(item.Width, item.Height)
}

// outerSides are those of a sleeve's or an envelope's outside.
func outerSides(item *packing.Item) (long, short measure.Length) {
	w, h := item.Width+2*item.Wall, item.Height+2*item.Wall
	if item.Outer != nil && item.Outer.Width > 0 {
		w = item.Outer.Width
	}
	if item.Outer != nil && item.Outer.Height > 0 {
		h = item.Outer.Height
	}
	return max(w, h), min(w, h)
}

// boarded looks whether contents and the free edge go on a board.
func boarded(p *Packed, c chosen, long, short measure.Length) {
	boardLong, boardShort := sides(c.item)
	p.notOver("board.length", long+2*c.layer.Clearance.Sides, boardLong)
	p.notOver("board.width", short+2*c.layer.Clearance.Sides, boardShort)
}

// enclosed looks whether contents go into a sleeve or an envelope.
// Source: docs/formats/physics.md, section 4.
func enclosed(p *Packed, c chosen, long, short, thick measure.Length) {
	room := thick + c.layer.Clearance.Thickness
	needLong, needShort := long+2*c.layer.Clearance.Sides, short+2*c.layer.Clearance.Sides
	if c.item.Soft {
		needLong, needShort = needLong+room, needShort+room
	}
	kind := string(c.layer.Kind)
	innerLong, innerShort := sides(c.item)
	p.notOver(kind+".length", needLong, innerLong)
	p.notOver(kind+".width", needShort, innerShort)
	if c.item.Thickest > 0 {
		p.notOver(kind+".thickness", room, c.item.Thickest)
	}
}
