package prices_test

import (
	"math"
	"testing"

	"solander/packing/prices"
)

// Bars of length 10 are cut into pieces of 3, 4 and 5; wanted are 20, 10 and 20. By hand: the best prices are 3/10,
// 4/10 and 5/10 of a bar, since bars are cut without waste, 200/10 = 20 bars.
func TestBars(t *testing.T) {
	p := prices.New([]int{20, 10, 20}, 2)
	length := []int{3, 4, 5}
	for range 50 {
		p.Solve(1e-9)
		best, gain := []int{}, 1e-9
		for a := 0; 3*a <= 10; a++ {
			for b := 0; 3*a+4*b <= 10; b++ {
				c := (10 - 3*a - 4*b) / 5
				col := column(a, b, c)
				if g := p.Gain(&col); g > gain {
					best, gain = []int{a, b, c}, g
				}
			}
		}
		if len(best) == 0 {
			break
		}
		p.Add(column(best[0], best[1], best[2]))
	}
	sum := 20*p.Price[0] + 10*p.Price[1] + 20*p.Price[2]
	if math.Abs(sum-20) > 1e-6 {
		t.Errorf("prices %v of pieces %v: all are worth %v bars, want 20", p.Price, length, sum)
	}
	columns, times := p.Used()
	bars, pieces := 0.0, make([]float64, 3)
	for i, c := range columns {
		bars += c.Cost * times[i]
		for k, of := range c.Of {
			pieces[of] += c.Held[k] * times[i]
		}
	}
	if math.Abs(bars-20) > 1e-4 || pieces[0] < 20 || pieces[1] < 10 || pieces[2] < 20 {
		t.Errorf("%v bars for %v pieces", bars, pieces)
	}
}

func column(n ...int) prices.Column {
	c := prices.Column{Cost: 1}
	for i, k := range n {
		if k > 0 {
			c.Of, c.Held = append(c.Of, i), append(c.Held, float64(k))
		}
	}
	return c
}

// A price that is kept below what it would be leaves copies out; one that is nothing at most makes a limit of its row.
// By hand: three of each of two things, bundles of one each at 2, single ones at 1.5 and 1.2, and no more than two bundles
// of both: two of these, and one of each alone, 4 + 2.7; then the first at no more than 1 each: all three left out but
// two in bundles.
func TestBetween(t *testing.T) {
	columns := []prices.Column{
		{Cost: 2, Of: []int{0, 1, 2}, Held: []float64{1, 1, 1}}, {Cost: 1.5, Of: []int{0}, Held: []float64{1}}, {Cost: 1.2, Of: []int{1}, Held: []float64{1}},
	}
	for _, c := range []struct {
		high float64
		want []float64
	}{{9, []float64{2, 1, 1}}, {1, []float64{2, 0, 1}}} {
		p := prices.New([]int{3, 3, 2}, 9)
		p.Between([]float64{0, 0, -9}, []float64{c.high, 9, 0})
		for _, col := range columns {
			p.Add(col)
		}
		p.Solve(1e-9)
		for i, taken := range p.Taken() {
			if math.Abs(taken-c.want[i]) > 1e-4 {
				t.Errorf("at most %v: %v of column %d are taken, want %v", c.high, taken, i, c.want[i])
			}
		}
	}
}
