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

// What gains nothing is not brought in, and what was forgotten is not used.
func TestForget(t *testing.T) {
	p := prices.New([]int{3, 3}, 5)
	for n := range 30 {
		p.Add(prices.Column{Cost: 4 - 0.1*float64(n), Of: []int{0, 1}, Held: []float64{1, 1}})
	}
	p.Solve(1e-9)
	p.Forget(3)
	p.Solve(1e-9)
	columns, times := p.Used()
	if len(columns) != 1 || math.Abs(columns[0].Cost-1.1) > 1e-9 || math.Abs(times[0]-3) > 1e-4 {
		t.Errorf("%v %v", columns, times)
	}
}
