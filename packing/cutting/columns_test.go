package cutting

import (
	"context"
	"math/rand/v2"
	"testing"

	"solander/measure"
)

// stiffeners is n boards of so many of the usual print sizes, with two large sheets to cut them from.
func stiffeners(kinds, n, turn int) ([]Stock, []Piece) {
	sizes := [][2]measure.Length{{216, 279}, {279, 356}, {305, 406}, {406, 508}, {457, 610}, {229, 305}, {330, 483}, {254, 203}}
	stock := []Stock{{ID: "a", Width: 1016 * mm, Height: 813 * mm, Cost: 700}, {ID: "b", Width: 1219 * mm, Height: 914 * mm, Cost: 900}}
	var demand []Piece
	left := n
	for i := range kinds {
		count := min(left, (n/kinds*(2+(i+turn)%3)+2)/3)
		if i == kinds-1 {
			count = left
		}
		left -= count
		demand = append(demand, Piece{ID: string(rune('a' + i)), Width: mm * sizes[i][0], Height: mm * sizes[i][1], Count: count, Turn: i%2 == 0 || turn > 0})
	}
	return stock, demand
}

// Hundreds of boards: the bound by columns is reached.
func TestManyBoardsAreProven(t *testing.T) {
	for _, c := range []struct{ kinds, n, stocks int }{{6, 200, 2}, {6, 100, 2}, {4, 200, 1}, {3, 40, 1}, {6, 60, 1}} {
		for turn := range 3 {
			stock, demand := stiffeners(c.kinds, c.n, turn)
			p, err := Plan(context.Background(), stock[:c.stocks], demand, 2*mm)
			if err != nil {
				t.Fatal(err)
			}
			if err := Verify(stock[:c.stocks], demand, 2*mm, p); err != nil {
				t.Errorf("%+v %d: %v", c, turn, err)
			}
			if !p.Proven {
				t.Errorf("%+v %d: %d sheets, bound %d", c, turn, len(p.Sheets), p.Bound)
			}
		}
	}
}

// The bound by columns never says more than the exact program over all sets of pieces finds, also where there are few
// sheets of some kind.
func TestColumnsBound(t *testing.T) {
	tried, tight := 0, 0
	for seed := range uint64(200) {
		r := rand.New(rand.NewPCG(seed, 7))
		stock := []Stock{{ID: "a", Width: 100, Height: 80}, {ID: "b", Width: 70, Height: 60, Count: 1 + r.IntN(3)}}
		var demand []Piece
		for i := range 1 + r.IntN(3) {
			demand = append(demand, Piece{ID: string(rune('a' + i)), Width: measure.Length(15 + r.IntN(50)), Height: measure.Length(15 + r.IntN(50)), Count: 1 + r.IntN(3), Turn: r.IntN(2) > 0})
		}
		kerf := measure.Length(r.IntN(3))
		best, err := Plan(t.Context(), stock, demand, kerf)
		if err != nil || !best.Least {
			continue
		}
		tried++
		p := newPlanner(t.Context(), stock, demand, int64(kerf))
		p.byColumns()
		if p.bound > len(best.Sheets) {
			t.Errorf("%d: the bound is %d, the fewest sheets are %d", seed, p.bound, len(best.Sheets))
		}
		if p.bound == len(best.Sheets) {
			tight++
		}
	}
	if tried < 100 || tight < tried/2 {
		t.Errorf("%d tried, %d tight", tried, tight)
	}
	t.Logf("%d tried, %d tight", tried, tight)
}

// A computation that is cancelled keeps a bound that holds, and a plan.
func TestManyBoardsCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	stock, demand := stiffeners(6, 200, 1)
	p, err := Plan(ctx, stock, demand, 2*mm)
	if err != nil {
		t.Fatal(err)
	}
	whole, err := Plan(t.Context(), stock, demand, 2*mm)
	if err != nil {
		t.Fatal(err)
	}
	if p.Bound > len(whole.Sheets) || p.Bound < 1 || len(p.Sheets) < len(whole.Sheets) {
		t.Errorf("cancelled: %d sheets, bound %d; %d are best", len(p.Sheets), p.Bound, len(whole.Sheets))
	}
}
