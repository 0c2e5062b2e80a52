package planner

import (
	"solander/measure"
	"solander/packing"
)

// gap is a measure that does not fit: what is needed, and what there is. rank orders the measures of a
// layer as they are looked at. The zero gap fits.
type gap struct {
	rule       string
	got, limit measure.Length
	rank       int
}

func (g gap) ok() bool { return g.rule == "" }

var fitting gap

// covers looks whether a board or tissue is large enough for sides long × short.
func (l *layer) covers(it *item, long, short measure.Length) gap {
	s := 2 * l.Clearance.Sides
	names := ruleNames[it.Kind]
	if long+s > it.long {
		return gap{names[0], long + s, it.long, 0}
	}
	if short+s > it.short {
		return gap{names[1], short + s, it.short, 1}
	}
	return fitting
}

// holds looks whether contents fit into a sleeve or an envelope.
func (l *layer) holds(it *item, long, short, thick measure.Length) gap {
	room := thick + l.Clearance.Thickness
	extra := 2 * l.Clearance.Sides
	if it.Soft {
		extra += room
	}
	names := ruleNames[it.Kind]
	switch {
	case long+extra > it.long:
		return gap{names[0], long + extra, it.long, 0}
	case short+extra > it.short:
		return gap{names[1], short + extra, it.short, 1}
	case it.Thickest > 0 && room > it.Thickest:
		return gap{names[2], room, it.Thickest, 2}
	}
	return fitting
}

// base looks whether contents fit onto the base of a carton.
func (l *layer) base(it *item, long, short measure.Length) gap {
	s := 2 * l.Clearance.Sides
	names := ruleNames[packing.Carton]
	if long+s > it.long {
		return gap{names[0], long + s, it.long, 0}
	}
	if short+s > it.short {
		return gap{names[1], short + s, it.short, 1}
	}
	return fitting
}

// high looks whether contents of a thickness fit under an inner height of a carton.
func (l *layer) high(thick, height measure.Length) gap {
	need := thick + l.Clearance.Thickness
	names := ruleNames[packing.Carton]
	if need > height {
		return gap{names[2], need, height, 2}
	}
	if l.Empty != nil && height-need > *l.Empty {
		return gap{names[3], height - need, *l.Empty, 3}
	}
	return fitting
}

var ruleNames = map[packing.Kind][]string{
	packing.Sleeve:   {"sleeve.length", "sleeve.width", "sleeve.thickness"},
	packing.Tissue:   {"tissue.length", "tissue.width"},
	packing.Board:    {"board.length", "board.width"},
	packing.Envelope: {"envelope.length", "envelope.width", "envelope.thickness"},
	packing.Carton:   {"carton.length", "carton.width", "carton.height", "carton.empty"},
	packing.Tube:     {"tube.diameter", "tube.length"},
}
