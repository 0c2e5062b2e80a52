package layout

import (
	"context"

	"solander/measure"
)

// Kind is pieces of one size, of which there are so many.
type Kind struct {
	Width, Height measure.Length
	Max           int
	Turn          bool
}

// AtLeast returns a number of rooms of this size that the pieces surely need, by area and by every pair of
// scales. Pieces that fit no way round are passed over. The room and the sides must be positive.
func AtLeast(room Room, kinds []Kind) int {
	q := newQuestion(context.Background(), int64(room.Width), int64(room.Height))
	var ws, hs []int64
	for _, k := range kinds {
		piece := newKind(int64(k.Width), int64(k.Height), k.Turn)
		if k.Max <= 0 || !q.alone(&piece) {
			continue
		}
		q.kinds, q.left = append(q.kinds, piece), append(q.left, k.Max)
		for _, way := range piece.way[:piece.ways] {
			ws, hs = append(ws, way[0]), append(hs, way[1])
		}
	}
	least := 0
	if len(q.kinds) > 0 {
		least = 1
	}
	for _, sx := range scalesOf(q.w, ws, 64) {
		for _, sy := range scalesOf(q.h, hs, 64) {
			least = max(least, q.rooms(sx, sy))
		}
	}
	return least
}

// rooms is what the pieces need in one pair of scales, rounded up.
func (q *question) rooms(sx, sy scale) int {
	shift := shiftFor(sx.full(), sy.full())
	room := shifted(sx.full(), sy.full(), shift)
	if shift > 0 {
		room++
	}
	whole, rest := int64(0), int64(0) // rooms filled, and area in the next
	for i, n := range q.left {
		each := q.kinds[i].scaled(q, sx, sy, shift)
		if each == 0 {
			continue
		}
		per := room / each // as many are less than a room
		whole += int64(n) / (per + 1) * ((per + 1) * each / room)
		rest += int64(n) / (per + 1) * ((per + 1) * each % room)
		rest += int64(n) % (per + 1) * each
		whole, rest = whole+rest/room, rest%room
	}
	if rest > 0 {
		whole++
	}
	return int(whole)
}
