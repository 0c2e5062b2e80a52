package horizon_test

import (
	"math/rand/v2"
	"slices"

	"solander/dayplan/horizon"
)

// ahead is a small problem with the windows that its columns were made for.
type ahead struct {
	horizon.Problem
	from, to [][]int // of each order, by unit: its first day and its last; a promise that is nearer than the first day leaves that one
	features []string
}

// features are what a drawn problem may have; each, and each pair, is counted.
var features = []string{
	"one day", "several days", "an order alone", "two orders together", "three orders together", "several units", "a day that is given", "starts later", "may wait",
	"together costs less", "together costs more", "the day changes the cost", "a tie of money", "a scarce item", "two scarce items", "pieces that come", "none at first",
	"another wrap", "only the scarce wrap", "some day without a way", "some order without a way",
}

type drawing struct {
	*rand.Rand
	has map[string]bool
}

func (r drawing) chance(n int, feature string) bool {
	yes := r.IntN(n) == 0
	if yes && feature != "" {
		r.has[feature] = true
	}
	return yes
}

// draw makes a problem of at most five orders. reserve takes so many days off every last day.
func draw(seed uint64, days, reserve int) ahead {
	r := drawing{rand.New(rand.NewPCG(seed, 12)), map[string]bool{}}
	most := 1 + r.IntN(4)
	p := ahead{Problem: horizon.Problem{Days: most}}
	if days > 0 {
		p.Days = min(days, most)
	}
	r.has[map[bool]string{true: "one day", false: "several days"}[p.Days == 1]] = true
	items := r.IntN(3)
	for i := range items {
		r.has[[]string{"a scarce item", "two scarce items"}[i]] = true
		at := r.IntN(3)
		if at == 0 {
			r.has["none at first"] = true
		}
		stock := []int{at}
		for range most - 1 {
			if r.chance(4, "pieces that come") {
				at += 1 + r.IntN(2)
			}
			stock = append(stock, at)
		}
		p.Stock = append(p.Stock, stock[:p.Days])
	}
	left := 5
	for left > 0 && (len(p.Units) == 0 || r.IntN(4) > 0) {
		n := min(left, 1+r.IntN(3))
		left -= n
		r.has[[]string{"an order alone", "two orders together", "three orders together"}[n-1]] = true
		p.draw(r, n, items, most, reserve)
	}
	if len(p.Units) > 1 {
		r.has["several units"] = true
	}
	for f := range r.has {
		p.features = append(p.features, f)
	}
	slices.Sort(p.features)
	return p
}

// draw adds a unit of so many orders.
func (p *ahead) draw(r drawing, orders, items, most, reserve int) {
	u := horizon.Unit{Orders: orders}
	var from, to, alone []int
	for range orders {
		f := 0
		if r.chance(3, "starts later") {
			f = r.IntN(most)
		}
		t := r.IntN(most+1) - reserve
		if t <= f {
			r.has["a day that is given"] = true
		} else {
			r.has["may wait"] = true
		}
		from, to, alone = append(from, f), append(to, max(f, t)), append(alone, 3+r.IntN(9))
	}
	p.from, p.to = append(p.from, from), append(p.to, to)
	for set := horizon.Set(1); int(set) < 1<<orders; set++ {
		cost, without := 0, r.chance(12, "some order without a way")
		for o := range orders {
			if set>>o&1 == 1 {
				cost += alone[o]
			}
		}
		if set.Count() > 1 {
			switch r.IntN(4) {
			case 0:
				cost += r.IntN(4)
				r.has["together costs more"] = true
			case 1:
				r.has["a tie of money"] = true
			default:
				cost -= 1 + r.IntN(min(cost, 6))
				r.has["together costs less"] = true
			}
		}
		changes := r.chance(4, "the day changes the cost")
		use := make([]int, items)
		takes := false
		for i := range use {
			if r.IntN(2) == 0 {
				use[i] = 1 + r.IntN(2)
				takes = true
			}
		}
		another, more := r.chance(2, ""), 1+r.IntN(5)
		if takes {
			r.has[map[bool]string{true: "another wrap", false: "only the scarce wrap"}[another]] = true
		}
		for d := range most { // all days, so that a shorter horizon draws the same
			shift, gap := r.IntN(4), r.chance(10, "some day without a way")
			if !changes {
				shift = 0
			}
			c := horizon.Column{Orders: set, Day: d, Use: use, Cost: int64(cost + shift), Least: int64(cost + shift)}
			fits := d < p.Days && !gap && !without
			for o := range orders {
				if set>>o&1 == 1 {
					fits = fits && d >= from[o] && d <= max(from[o], to[o])
					c.Waits += d - from[o]
				}
			}
			if !fits {
				continue
			}
			u.Columns = append(u.Columns, c)
			if takes && another {
				c.Cost, c.Use = c.Cost+int64(more), nil
				c.Least = c.Cost
				u.Columns = append(u.Columns, c)
			}
		}
	}
	p.Units = append(p.Units, u)
}
