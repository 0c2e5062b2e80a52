// Package layers knows what a stock cost, first in, first out: every lot that came in is a layer with its pieces and its cost, and what goes
// out takes from the earliest that has pieces left.
//
// Costs are whole minor units of the currency of the layer. What is taken bears its part of what is left of the layer, by largest remainder,
// so that the last piece takes the last cent. No store, no clock.
package layers

import "solander/money"

// Layer is a lot that came in. Rejected sheets of a run are no pieces of it: their cost lies on the good ones.
type Layer struct {
	ID       int64
	Run      int64 // the run it came with; 0 = none
	Move     int64 // by which it came in
	Pieces   int
	Cost     money.Amount // of all pieces
	Left     int
	LeftCost int64 // minor units of Cost's currency
}

// Use is what a move took from a layer; less than nothing: gave back to it.
type Use struct {
	Layer  int64
	Pieces int
	Cost   money.Amount
	Run    int64 // of the layer
}

// Back is the use the other way round.
func (u Use) Back() Use {
	u.Pieces, u.Cost = -u.Pieces, u.Cost.Neg()
	return u
}

// Stock are the layers of one stock, the earliest first.
type Stock []*Layer

// Take takes pieces, first in, first out. Pieces that no layer holds cost nothing, and are in no use.
func (s Stock) Take(pieces int) []Use {
	var out []Use
	for _, l := range s {
		if pieces == 0 {
			break
		}
		if n := min(pieces, l.Left); n > 0 {
			out = append(out, l.take(n))
			pieces -= n
		}
	}
	return out
}

// take takes pieces that the layer has.
func (l *Layer) take(n int) Use {
	cost := money.Shares(l.LeftCost, []int64{int64(n), int64(l.Left - n)})[0]
	l.Left, l.LeftCost = l.Left-n, l.LeftCost-cost
	return Use{l.ID, n, money.Of(cost, l.Cost.Currency), l.Run}
}

// Withdraw takes pieces of what came in last, as when it did not come after all: first from the layer that came by that move.
func (s Stock) Withdraw(move int64, pieces int) []Use {
	var out []Use
	for _, l := range s {
		if n := min(pieces, l.Left); l.Move == move && n > 0 {
			out = append(out, l.take(n))
			pieces -= n
		}
	}
	return append(out, s.Take(pieces)...)
}

// Give gives pieces back to the layers that they were taken from, the latest use first, and tells what each got. Pieces for which there is no
// use, or no room in the layer of one, are in no layer.
func (s Stock) Give(uses []Use, pieces int) []Use {
	var out []Use
	for i := len(uses) - 1; i >= 0 && pieces > 0; i-- {
		u := uses[i]
		for _, l := range s {
			if l.ID != u.Layer {
				continue
			}
			n := min(pieces, u.Pieces, l.Pieces-l.Left)
			if n == 0 {
				continue
			}
			cost := money.Shares(u.Cost.Minor, []int64{int64(n), int64(u.Pieces - n)})[0]
			l.Left, l.LeftCost = l.Left+n, l.LeftCost+cost
			out = append(out, Use{l.ID, n, money.Of(cost, l.Cost.Currency), l.Run}.Back())
			pieces -= n
		}
	}
	return out
}

// Net are uses without what was given back of them, in the order in which the layers were used first.
func Net(uses []Use) []Use {
	at := map[int64]int{}
	var out []Use
	for _, u := range uses {
		i, known := at[u.Layer]
		if !known {
			at[u.Layer] = len(out)
			out = append(out, u)
			continue
		}
		out[i].Pieces += u.Pieces
		out[i].Cost.Minor += u.Cost.Minor
	}
	kept := out[:0]
	for _, u := range out {
		if u.Pieces > 0 {
			kept = append(kept, u)
		}
	}
	return kept
}
