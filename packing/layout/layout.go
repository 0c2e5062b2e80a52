// Package layout knows how rectangles lie side by side in one layer: whether prints fit into a room, and how
// many rooms they need at least.
//
// Lengths are nanometres, or any other whole unit as long as it is one. Pieces lie with their sides along
// those of the room, do not overlap, and may touch. A layout need not be cut apart by straight cuts from
// edge to edge. Every answer is exact, and the same for the same input. The room knows no clearances, no packaging and no prices.
package layout

import (
	"context"
	"math/bits"

	"solander/fault"
	"solander/measure"
)

// Room is the space that a layer may take.
type Room struct{ Width, Height measure.Length }

// Piece is one rectangle. With Turn it may lie either way round.
type Piece struct {
	Width, Height measure.Length
	Turn          bool
}

// Place is where a piece lies: its lower left corner, and its sides as it lies. Piece is its index in what
// was asked.
type Place struct {
	Piece         int
	X, Y          measure.Length
	Width, Height measure.Length
	Turned        bool
}

// Layout is one layer.
type Layout []Place

const longest = measure.Length(1) << 40 // over 1 km

func (r Room) valid() error {
	if r.Width <= 0 || r.Height <= 0 || r.Width > longest || r.Height > longest {
		return fault.Invalidf("room", "the room is %d × %d nm, not from 1 to %d nm", r.Width, r.Height, longest)
	}
	return nil
}

func sides(field string, i int, w, h measure.Length) error {
	if w <= 0 || h <= 0 || w > longest || h > longest {
		return fault.Invalidf(field, "piece %d is %d × %d nm, not from 1 to %d nm", i+1, w, h, longest)
	}
	return nil
}

// Fits decides whether all pieces fit into the room, and says where they lie when they do. The decision is
// exact; it takes microseconds for a few pieces and is meant for up to about twelve different ones.
// Faults: Invalid for a side that is not positive; the error of ctx when it ends first.
func Fits(ctx context.Context, room Room, pieces []Piece) (Layout, bool, error) {
	if err := room.valid(); err != nil {
		return nil, false, err
	}
	for i, p := range pieces {
		if err := sides("pieces", i, p.Width, p.Height); err != nil {
			return nil, false, err
		}
	}
	q := newQuestion(ctx, int64(room.Width), int64(room.Height))
	members := q.group(pieces)
	switch puts, v := q.decide(); v {
	case found:
		return q.layout(puts, members, pieces), true, nil
	case none:
		return nil, false, nil
	}
	return nil, false, ctx.Err()
}

// shifted is a · b / 2^shift, rounded down.
func shifted(a, b int64, shift uint) int64 {
	hi, lo := bits.Mul64(uint64(a), uint64(b))
	if shift == 0 {
		return int64(lo)
	}
	return int64(lo>>shift | hi<<(64-shift))
}

// shiftFor returns how far products up to a · b are shifted so that they stay below 2^52.
func shiftFor(a, b int64) uint {
	return uint(max(0, bits.Len64(uint64(a))+bits.Len64(uint64(b))-52))
}
