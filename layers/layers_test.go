package layers_test

import (
	"fmt"
	"testing"

	"pgregory.net/rapid"

	"solander/layers"
	"solander/money"
)

// lot is pieces at so many minor units each.
type lot struct{ pieces, each int }

func stock(lots ...lot) layers.Stock {
	var s layers.Stock
	for i, l := range lots {
		s = append(s, layer(i+1, l.pieces, l.pieces*l.each))
	}
	return s
}

func layer(id, pieces, cost int) *layers.Layer {
	return &layers.Layer{ID: int64(id), Move: int64(id), Pieces: pieces, Cost: money.Of(int64(cost), "USD"), Left: pieces, LeftCost: int64(cost)}
}

func cost(uses []layers.Use) (n int64) {
	for _, u := range uses {
		n += u.Cost.Minor
	}
	return n
}

func left(s layers.Stock) (pieces int, cost int64) {
	for _, l := range s {
		pieces, cost = pieces+l.Left, cost+l.LeftCost
	}
	return pieces, cost
}

// Sources: worked examples of perpetual first-in-first-out stock in textbooks. Of the first (an open textbook of financial accounting, its chapter on
// stock) the inputs are from memory and close to the total of what there was; the others were read: two teaching pages, and a package of statistics.
func TestTextbooks(t *testing.T) {
	for _, c := range []struct {
		name        string
		lots        []lot
		sold        int
		takes, left int64
	}{
		{"55 at 26, 130 at 28, 95 at 29, 65 at 31", []lot{{55, 26}, {130, 28}, {95, 29}, {65, 31}}, 255, 7100, 2740},
		{"200 at 10, 350 at 15, 450 at 20, 100 at 25", []lot{{200, 10}, {350, 15}, {450, 20}, {100, 25}}, 880, 13850, 4900},
		{"2 at 2, 3 at 3, 5 at 5", []lot{{2, 2}, {3, 3}, {5, 5}}, 7, 23, 15},
	} {
		s := stock(c.lots...)
		if got := cost(s.Take(c.sold)); got != c.takes {
			t.Errorf("%s: %d sold cost %d, want %d", c.name, c.sold, got, c.takes)
		}
		if _, got := left(s); got != c.left {
			t.Errorf("%s: %d is left, want %d", c.name, got, c.left)
		}
	}
}

// The same source, with sales between what was bought: the layers are taken as they stand at each sale.
func TestSalesBetweenPurchases(t *testing.T) {
	s := stock(lot{150, 21}, lot{225, 27})
	first, second := cost(s.Take(120)), cost(s.Take(180))
	if first != 2520 || second != 630+4050 {
		t.Errorf("the sales cost %d and %d, want 2520 and 4680", first, second)
	}
	s = append(s, layer(3, 210, 210*33))
	if pieces, n := left(s); pieces != 285 || n != 8955 {
		t.Errorf("%d pieces of %d are left, want 285 of 8955", pieces, n)
	}
	if margin := 120*36 + 180*39 - first - second; margin != 4140 {
		t.Errorf("the margin is %d, want 4140", margin)
	}
}

// Ten sheets of which three were rejected, for 10.00 in all: the seven good ones bear it, and the last takes the last cent. Worked by hand.
func TestTheLastPieceTakesTheLastCent(t *testing.T) {
	s := layers.Stock{layer(1, 7, 1000)}
	var got []int64
	for range 7 {
		got = append(got, cost(s.Take(1)))
	}
	if want := "[143 143 143 143 143 143 142]"; fmt.Sprint(got) != want {
		t.Errorf("the sheets cost %v, want %s", got, want)
	}
}

// What is given back lies where it lay, and what never came is taken from where it came.
func TestBackAndWithdrawn(t *testing.T) {
	s := stock(lot{2, 100}, lot{3, 200})
	uses := s.Take(3)
	if got := s.Give(uses, 3); cost(got) != -400 {
		t.Errorf("%v was given back, want 400", got)
	}
	if pieces, n := left(s); pieces != 5 || n != 800 || s[0].Left != 2 {
		t.Errorf("%d pieces of %d are there, %d of the first layer", pieces, n, s[0].Left)
	}
	if got := cost(s.Withdraw(2, 3)); got != 600 {
		t.Errorf("what did not come cost %d, want 600", got)
	}
	if got := layers.Net(append(uses, uses[0].Back())); len(got) != 1 || got[0].Layer != 2 {
		t.Errorf("of the uses is left %v, want that of the second layer", got)
	}
}

// Whatever is taken and given back, pieces and costs are never lost.
func TestNothingIsLost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var s layers.Stock
		pieces, worth := 0, int64(0)
		var taken []layers.Use
		for i := range rapid.IntRange(1, 30).Draw(t, "moves") {
			switch rapid.IntRange(0, 2).Draw(t, "what") {
			case 0:
				n, c := rapid.IntRange(1, 9).Draw(t, "pieces"), rapid.IntRange(0, 5000).Draw(t, "cost")
				s = append(s, layer(i+1, n, c))
				pieces, worth = pieces+n, worth+int64(c)
			case 1:
				taken = append(taken, s.Take(rapid.IntRange(0, pieces).Draw(t, "taken"))...)
			default:
				taken = append(taken, s.Give(layers.Net(taken), rapid.IntRange(0, 3).Draw(t, "back"))...)
			}
			n, c := left(s)
			for _, u := range layers.Net(taken) {
				n, c = n+u.Pieces, c+u.Cost.Minor
			}
			if n != pieces || c != worth {
				t.Fatalf("%d pieces of %d, want %d of %d", n, c, pieces, worth)
			}
		}
	})
}
