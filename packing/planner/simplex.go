package planner

// A small linear program, to find good prices by: the least cost of columns that together send every copy. It is
// solved in floats, which is good enough, since what the prices prove is found in whole numbers afterwards.

// column is what a parcel of a template holds, of some groups, and costs.
type column struct {
	cost   float64
	groups []int
	held   []float64
}

// program is the simplex method with the inverse of the basis.
type program struct {
	inverse [][]float64
	basis   []int // number of the column in each row; below 0 a copy is left out, at a price
	x       []float64
	price   []float64 // of a copy of each group
	pool    []column
	pivots  int
}

// tiny is what counts as nothing.
const tiny = 1e-9

// mostPivots bounds the work.
const mostPivots = 6000

// newProgram starts with every copy left out, at a price each that is more than any parcel's.
func newProgram(counts []int, dear float64) *program {
	n := len(counts)
	p := &program{inverse: make([][]float64, n), basis: make([]int, n), x: make([]float64, n), price: make([]float64, n)}
	for g, c := range counts {
		p.inverse[g] = make([]float64, n)
		p.inverse[g][g] = 1
		p.basis[g] = -1
		// A little more than the copies, differently, so that no two steps are alike.
		p.x[g] = float64(c) + 1e-6*float64(g+1)/float64(n)
		p.price[g] = dear
	}
	return p
}

// gain is how much less a column costs than what it holds is priced at.
func (p *program) gain(c *column) float64 {
	sum := -c.cost
	for i, g := range c.groups {
		sum += p.price[g] * c.held[i]
	}
	return sum
}

// solve brings columns in until none gains.
func (p *program) solve(least float64) {
	for p.pivots < mostPivots {
		at, most := -1, least
		for i := range p.pool {
			if g := p.gain(&p.pool[i]); g > most {
				at, most = i, g
			}
		}
		surplus := false
		for g, price := range p.price { // a copy too many may be sent at no cost
			if -price > most {
				at, most, surplus = g, -price, true
			}
		}
		if at < 0 || !p.enter(at, surplus, most) {
			return
		}
		p.pivots++
	}
}

// enter brings a column into the basis; false when that is not possible.
func (p *program) enter(at int, surplus bool, gain float64) bool {
	n := len(p.x)
	move := make([]float64, n)
	if surplus {
		for r := range n {
			move[r] = -p.inverse[r][at]
		}
	} else {
		c := &p.pool[at]
		for r := range n {
			row := p.inverse[r]
			for i, g := range c.groups {
				move[r] += row[g] * c.held[i]
			}
		}
	}
	row, ratio := -1, 0.0
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
			p.x[r] = max(0, p.x[r]-ratio*move[r])
		}
	}
	p.x[row] = ratio
	p.pivot(row, move)
	p.basis[row] = at
	if surplus {
		p.basis[row] = -2
	}
	for g, v := range p.inverse[row] {
		p.price[g] -= gain * v
	}
	return true
}

// pivot makes the inverse that of the basis with the column that moves so in a row.
func (p *program) pivot(row int, move []float64) {
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
			other[g] -= m * v
		}
	}
}

// forget drops columns that are far from gaining, when there are many.
func (p *program) forget(most int) {
	if len(p.pool) <= most {
		return
	}
	inBasis := map[int]int{}
	for r, at := range p.basis {
		if at >= 0 {
			inBasis[at] = r
		}
	}
	kept := p.pool[:0:0]
	skip := len(p.pool) - most
	for i := range p.pool {
		r, is := inBasis[i]
		if !is && skip > 0 { // the oldest first
			skip--
			continue
		}
		if is {
			p.basis[r] = len(kept)
		}
		kept = append(kept, p.pool[i])
	}
	p.pool = kept
}
