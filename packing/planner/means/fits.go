package means

import (
	"solander/measure"
	"solander/packing"
)

// Gap is a measure that does not fit: what is needed, and what there is. rank orders the measures of a
// layer as they are looked at. The zero gap fits.
type Gap struct {
	Rule       string
	Got, Limit measure.Length
	Rank       int
}

// Ok reports whether it fits.
func (g Gap) Ok() bool { return g.Rule == "" }

// Covers looks whether a board, a tissue or the base of a carton is large enough for sides long × short.
func (l *Layer) Covers(it *Item, long, short measure.Length) Gap {
	s := 2 * l.Clearance.Sides
	names := RuleNames[it.Kind]
	if long+s > it.Long {
		return Gap{names[0], long + s, it.Long, 0}
	}
	if short+s > it.Short {
		return Gap{names[1], short + s, it.Short, 1}
	}
	return Gap{}
}

// Holds looks whether contents fit into a sleeve or an envelope.
func (l *Layer) Holds(it *Item, long, short, thick measure.Length) Gap {
	room := thick + l.Clearance.Thickness
	extra := 2 * l.Clearance.Sides
	if it.Soft {
		extra += room
	}
	names := RuleNames[it.Kind]
	switch {
	case long+extra > it.Long:
		return Gap{names[0], long + extra, it.Long, 0}
	case short+extra > it.Short:
		return Gap{names[1], short + extra, it.Short, 1}
	case it.Thickest > 0 && room > it.Thickest:
		return Gap{names[2], room, it.Thickest, 2}
	}
	return Gap{}
}

// High looks whether contents of a thickness fit under an inner height of a carton.
func (l *Layer) High(thick, height measure.Length) Gap {
	need := thick + l.Clearance.Thickness
	names := RuleNames[packing.Carton]
	if need > height {
		return Gap{names[2], need, height, 2}
	}
	if l.Empty != nil && height-need > *l.Empty {
		return Gap{names[3], height - need, *l.Empty, 3}
	}
	return Gap{}
}

// RuleNames are the rules of each kind of packaging, by rank.
var RuleNames = map[packing.Kind][]string{
	packing.Sleeve:   {"sleeve.length", "sleeve.width", "sleeve.thickness"},
	packing.Tissue:   {"tissue.length", "tissue.width"},
	packing.Board:    {"board.length", "board.width"},
	packing.Envelope: {"envelope.length", "envelope.width", "envelope.thickness"},
	packing.Carton:   {"carton.length", "carton.width", "carton.height", "carton.empty"},
	packing.Tube:     {"tube.diameter", "tube.length"},
}
