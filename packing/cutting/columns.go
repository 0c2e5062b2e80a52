package cutting

import (
	"cmp"
	"math/bits"
	"slices"

	"solander/packing/cutting/onesheet"
	"solander/packing/prices"
)

// The bound by columns (P. C. Gilmore, R. E. Gomory, 1961, 1965). Give each board a price. If no cutting of a sheet
// of some kind holds boards worth more than V, as the table for boards in any number finds, then sheets with the
// prices of all boards between them are needed at least. The best prices come from a linear program over cuttings; the
// bound is reckoned in whole numbers. What the program takes of each cutting, rounded down, is also the beginning of a
// good plan.

// What bounds the work.
const (
	columnRounds = 120
	columnCells  = 40_000_000 // of all tables together
	pricesScale  = 1 << 30
)

// pattern is a cutting of a sheet.
type pattern struct {
	stock  int
	joint  *onesheet.Joint
	counts []int
}

// columns is the search for the bound.
type columns struct {
	p        *planner
	program  *prices.Program
	patterns map[string]pattern
	price    []int64
	work     int
}

// byColumns raises the bound, and offers plans that begin with the cuttings of the linear program.
func (p *planner) byColumns() {
	counts := make([]int, len(p.demand))
	for i, d := range p.demand {
		counts[i] = d.Count
	}
	c := &columns{p: p, program: prices.New(counts, 2), patterns: map[string]pattern{}, price: make([]int64, len(counts))}
	for range columnRounds {
		c.program.Solve(1e-7)
		if !c.round() {
			break
		}
	}
	if p.best == nil || len(p.best) > p.bound {
		c.build()
	}
}

// round looks at every kind of sheet with the present prices; false when nothing new gains, or all was looked at that
// may be.
func (c *columns) round() bool {
	p := c.p
	worth := make([]int64, len(p.stock))
	more := false
	for i := range c.price {
		c.price[i] = int64(min(max(c.program.Price[i], 0), 2) * pricesScale)
	}
	for s := range p.stock {
		t := c.table(s)
		if t == nil {
			return false
		}
		worth[s] = t.Best()
		if c.add(s, t) {
			more = true
		}
	}
	p.bound = max(p.bound, c.least(worth))
	return more && c.work < columnCells && (p.best == nil || len(p.best) > p.bound)
}

// table is that of a kind of sheet with the present prices; nil when it is too large, or the time is over.
func (c *columns) table(stock int) *onesheet.Table {
	p := c.p
	var kinds []onesheet.Kind
	for i, d := range p.demand {
		kinds = append(kinds, onesheet.Kind{Width: d.Width, Height: d.Height, Value: c.price[i], Turn: d.Turn})
	}
	t := onesheet.NewTable(p.ctx, p.sheet(stock), kinds, p.kerf)
	if t != nil {
		c.work += t.Cells()
	}
	return t
}

// add takes the best cutting of a table into the program, if it is new and gains.
func (c *columns) add(stock int, t *onesheet.Table) bool {
	if t.Best() <= pricesScale+pricesScale>>20 {
		return false
	}
	n := pattern{stock: stock, joint: t.Joint(), counts: make([]int, len(c.price))}
	n.joint.Count(n.counts)
	key := n.key()
	if _, known := c.patterns[key]; known {
		return false
	}
	c.patterns[key] = n
	col := prices.Column{Cost: 1}
	for i, k := range n.counts {
		if k > 0 {
			col.Of, col.Held = append(col.Of, i), append(col.Held, float64(k))
		}
	}
	c.program.Add(col)
	return true
}

func (n *pattern) key() string {
	out := make([]byte, 0, 2*len(n.counts))
	for _, k := range n.counts {
		out = append(out, byte(k), byte(k>>8))
	}
	return string(out)
}

// least is how many sheets hold the price of all boards at least, when a sheet of each kind holds no more than its
// worth: the best ones first, as many as there are.
func (c *columns) least(worth []int64) int {
	var hi, lo uint64
	for i, d := range c.p.demand {
		h, l := bits.Mul64(uint64(c.price[i]), uint64(d.Count))
		var carry uint64
		lo, carry = bits.Add64(lo, l, 0)
		hi += h + carry
	}
	if hi > 0 || lo > 1<<62 {
		return 0
	}
	rest, sheets := int64(lo), 0
	order := make([]int, len(worth))
	for s := range order {
		order[s] = s
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(worth[b], worth[a]) })
	for _, s := range order {
		if rest <= 0 || worth[s] <= 0 {
			break
		}
		n := (rest + worth[s] - 1) / worth[s]
		if count := int64(c.p.stock[s].Count); count > 0 {
			n = min(n, count)
		}
		rest, sheets = rest-n*worth[s], sheets+int(n)
	}
	return sheets
}

// build begins plans with the cuttings that the program takes, each as often as it does, rounded down, and cuts the
// rest by search.
func (c *columns) build() {
	p := c.p
	taken, times := c.program.Used()
	left := make([]int, len(p.demand))
	for i, d := range p.demand {
		left[i] = d.Count
	}
	var begin []sheet
	for i, col := range taken {
		n := pattern{counts: make([]int, len(left))}
		for k, of := range col.Of {
			n.counts[of] = int(col.Held[k])
		}
		found, ok := c.patterns[n.key()]
		for times := int(times[i] + 1e-3); ok && times > 0 && found.within(left); times-- {
			for of, k := range found.counts {
				left[of] -= k
			}
			begin = append(begin, sheet{found.stock, found.joint})
		}
	}
	for stock := range p.stock {
		if p.ctx.Err() != nil {
			return
		}
		if sheets := p.fillRest(stock, begin, left); sheets != nil {
			p.offer(sheets)
		}
	}
}

func (n *pattern) within(left []int) bool {
	for i, k := range n.counts {
		if k > left[i] {
			return false
		}
	}
	return true
}
