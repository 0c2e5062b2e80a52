// Package prices finds what a copy of each thing is worth when things are taken in bundles: a small linear program,
// the least cost of bundles that together hold every copy, and its prices. Bundles are added as they are found to cost
// less than what they hold is worth (P. C. Gilmore, R. E. Gomory, "A linear programming approach to the cutting stock
// problem", 1961).
//
// It reckons in floats and only leads the way: whoever uses the prices proves in whole numbers what follows from
// them. The same columns in the same order give the same prices, on every processor: each product is rounded by a
// conversion, which the Go specification ("Floating-point operators") says no processor may fuse with what follows.
package prices

import "slices"

// Column is a bundle: what it costs, and how much it holds of some things.
type Column struct {
	Cost float64
	Of   []int
	Held []float64
}

// Program is the simplex method with the inverse of the basis. Price is of a copy of each thing.
type Program struct {
	Price   []float64
	inverse [][]float64
	basis   []int // number of the column in each row; below 0 a copy is left out, at a price
	x       []float64
	pool    []Column
	pivots  int
	next    int // the column to look at
	Work    int // about how many products it took
	low     []float64
	high    []float64
}

// tiny is what counts as nothing.
const tiny = 1e-9

// fewLooked is how many columns are looked at each time at least.
const fewLooked = 100

// mostPivots bounds the work.
const mostPivots = 6000

// New starts with every copy left out, at a price each that is more than any bundle's.
func New(counts []int, dear float64) *Program {
	n := len(counts)
	p := &Program{inverse: make([][]float64, n), basis: make([]int, n), x: make([]float64, n)}
	for g, c := range counts {
		p.inverse[g] = make([]float64, n)
		p.inverse[g][g] = 1
		p.basis[g] = without
		// A little more than the copies, differently, so that no two steps are alike.
		p.x[g] = float64(c) + 1e-6*float64(g+1)/float64(n)
	}
	p.Between(make([]float64, n), slices.Repeat([]float64{dear}, n))
	return p
}

// Between keeps each price between two, before the first Solve: a copy may be left out at the higher one, and one too
// many is taken back at the lower. A price that is nothing at most makes of its thing a limit: no more of it may be held.
func (p *Program) Between(low, high []float64) {
	p.low, p.high, p.Price = low, high, slices.Clone(high)
}

// Gain is how much less a column costs than what it holds is priced at.
func (p *Program) Gain(c *Column) float64 {
	sum := -c.Cost
	for i, g := range c.Of {
		sum += float64(p.Price[g] * c.Held[i])
	}
	return sum
}

// Add puts a column where Solve may bring it in.
func (p *Program) Add(c Column) { p.pool = append(p.pool, c) }

// Solve brings columns in until none gains more than the least.
func (p *Program) Solve(least float64) {
	for p.pivots < mostPivots {
		at, most := 0, least
		kind := none
		for n := range p.pool { // a part of them, unless nothing in it gains
			if n >= fewLooked && kind == 0 {
				break
			}
			i := p.next
			if p.next++; p.next == len(p.pool) {
				p.next = 0
			}
			p.Work += 4 * len(p.pool[i].Of)
			if g := p.Gain(&p.pool[i]); g > most {
				at, most, kind = i, g, 0
			}
		}
		for g, price := range p.Price {
			if gain := p.low[g] - price; gain > most {
				at, most, kind = g, gain, surplus
			}
			if gain := price - p.high[g]; gain > most {
				at, most, kind = g, gain, without
			}
		}
		if kind == none || !p.enter(at, kind, most) {
			return
		}
		p.pivots++
	}
}

// What a row of the basis may be besides a column: a copy that is left out, or one that is too many.
const (
	without = -1
	surplus = -2
	none    = -3
)

// enter brings a column into the basis, or what a row may be besides; false when that is not possible.
func (p *Program) enter(at, kind int, gain float64) bool {
	n := len(p.x)
	move := make([]float64, n)
	if kind < 0 {
		sign := float64(1)
		if kind == surplus {
			sign = -1
		}
		for r := range n {
			move[r] = sign * p.inverse[r][at]
		}
	} else {
		c := &p.pool[at]
		for r := range n {
			row := p.inverse[r]
			for i, g := range c.Of {
				move[r] += float64(row[g] * c.Held[i])
			}
		}
	}
	row, ratio := -1, 0.0
	p.Work += n * n
	for r, m := range move {
		if m <= tiny {
			continue
		}
		if q := p.x[r] / m; row < 0 || q < ratio || q == ratio && m > move[row] {
			row, ratio = r, q
		}
	}
	if row < 0 {
		return false
	}
	for r := range n {
		if r != row {
			p.x[r] = max(0, p.x[r]-float64(ratio*move[r]))
		}
	}
	p.x[row] = ratio
	p.pivot(row, move)
	p.basis[row] = at
	if kind < 0 {
		p.basis[row] = kind
	}
	for g, v := range p.inverse[row] {
		p.Price[g] -= float64(gain * v)
	}
	return true
}

// pivot makes the inverse that of the basis with the column that moves so in a row.
func (p *Program) pivot(row int, move []float64) {
	own := p.inverse[row]
	for g := range own {
		own[g] /= move[row]
	}
	for r, m := range move {
		if r == row || m == 0 {
			continue
		}
		other := p.inverse[r]
		for g, v := range own {
			other[g] -= float64(m * v)
		}
	}
}

// Taken is how often each column that was added is taken.
func (p *Program) Taken() []float64 {
	out := make([]float64, len(p.pool))
	for r, at := range p.basis {
		if at >= 0 {
			out[at] = p.x[r]
		}
	}
	return out
}

// Used is how often each column of the basis is taken.
func (p *Program) Used() (columns []Column, times []float64) {
	for r, at := range p.basis {
		if at >= 0 {
			columns, times = append(columns, p.pool[at]), append(times, p.x[r])
		}
	}
	return columns, times
}
