package horizon_test

import (
	"slices"

	"solander/dayplan/horizon"
)

// everyPlan finds the best plan by looking at every assignment of days to orders, and at every choice of the columns that fit each. It
// shares nothing with the search but the types.
func everyPlan(p horizon.Problem) horizon.Worth {
	best := horizon.Worth{Held: 1 << 30}
	var taken []horizon.Column
	better := func(held int) {
		w := horizon.Worth{Held: held}
		for _, c := range taken {
			w.Money += c.Cost
			w.Waits += c.Waits
		}
		for item := range p.Stock {
			for day := range p.Days {
				n := 0
				for _, c := range taken {
					if c.Day <= day && len(c.Use) > 0 {
						n += c.Use[item]
					}
				}
				if n > p.Stock[item][day] {
					return
				}
			}
		}
		if w.Held < best.Held || w.Held == best.Held && (w.Money < best.Money || w.Money == best.Money && w.Waits < best.Waits) {
			best = w
		}
	}
	var unit func(u, held int)
	unit = func(u, held int) {
		if u == len(p.Units) {
			better(held)
			return
		}
		days := make([]int, p.Units[u].Orders) // of each order; p.Days = none
		for {
			var sets []horizon.Set
			left := 0
			for d := range p.Days {
				set := horizon.Set(0)
				for o, at := range days {
					if at == d {
						set |= 1 << o
					}
				}
				sets = append(sets, set)
			}
			for _, at := range days {
				if at == p.Days {
					left++
				}
			}
			var choose func(d int)
			choose = func(d int) {
				if d == p.Days {
					unit(u+1, held+left)
					return
				}
				if sets[d] == 0 {
					choose(d + 1)
					return
				}
				for _, c := range p.Units[u].Columns {
					if c.Day == d && c.Orders == sets[d] {
						taken = append(taken, c)
						choose(d + 1)
						taken = taken[:len(taken)-1]
					}
				}
			}
			choose(0)
			i := 0
			for ; i < len(days); i++ {
				if days[i]++; days[i] <= p.Days {
					break
				}
				days[i] = 0
			}
			if i == len(days) {
				return
			}
		}
	}
	unit(0, 0)
	return best
}

// worthOf adds up an answer's columns anew, and says whether they are a plan.
func worthOf(p horizon.Problem, a horizon.Answer) (w horizon.Worth, sound bool) {
	used := make([][]int, len(p.Stock))
	for i := range used {
		used[i] = make([]int, p.Days)
	}
	for u, of := range p.Units {
		var sent horizon.Set
		var days []int
		for _, at := range a.Columns[u] {
			c := of.Columns[at]
			if sent&c.Orders != 0 || slices.Contains(days, c.Day) {
				return w, false
			}
			sent |= c.Orders
			days = append(days, c.Day)
			w.Money += c.Cost
			w.Waits += c.Waits
			for i, n := range c.Use {
				used[i][c.Day] += n
			}
		}
		w.Held += of.Orders - sent.Count()
	}
	for i := range used {
		sum := 0
		for d, n := range used[i] {
			if sum += n; sum > p.Stock[i][d] {
				return w, false
			}
		}
	}
	return w, true
}
