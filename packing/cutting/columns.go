package cutting

import (
	"cmp"
	"math/bits"
	"slices"

	"solander/packing/cutting/onesheet"
	"solander/packing/prices"
)

// The bound by columns (P. C. Gilmore, R. E. Gomory, 1961, 1965). Give each board a price. If no cutting of a sheet
// of some kind holds boards worth more than V, no more of each than are needed, then sheets with the prices of all
// boards between them are needed at least. The best prices come from a linear program over cuttings; the bound is
// reckoned in whole numbers. What the program takes of each cutting, rounded down, is also the beginning of a good plan.

// What bounds the work, in sums of a table.
const (
	columnRounds = 600
	columnWork   = 20        // times the work for one sheet, of all together
	fewWork      = 1_000_000 // of the first search for one sheet; enough when that finds a gain
	someWork     = 20_000_000
	moreWork     = 400_000_000
	setWork      = 60_000_000 // of all sets of pieces that fit on a sheet, in divisions
	pricesScale  = 1 << 30
	nothing      = pricesScale >> 20 // gain that is none
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
	lots     []lot // all cuttings that no other holds, if they are known
	program  *prices.Program
	patterns map[string]pattern
	price    []int64
	worth    []int64 // of each kind of sheet, the most that it holds at these prices
	any      bool    // cuttings may take a board more often than it is needed
	most     int     // work for one sheet
	work     int
}

// byColumns raises the bound and looks for plans of fewer sheets: first with cuttings that take a board more often than
// it is needed, which are found at once. Then with all cuttings there are, when there are likely few; else with little
// work for each sheet, then with all cuttings after all, then with more work.
func (p *planner) byColumns() {
	c := newColumns(p)
	c.any = true
	if c.solve(0); p.done() {
		return
	}
	c = newColumns(p)
	few := p.fewSets()
	if !few || !c.findLots() {
		if c.solve(someWork); p.done() {
			return
		}
		if !few {
			c.findLots()
		}
	}
	c.solve(moreWork)
}

// fewSets reports whether it is likely to be little work to find all sets of boards that fit on a sheet: as many boards
// as the sheets hold on average are taken from all in so many ways, and each divided in so many.
func (p *planner) fewSets() bool {
	work := 1
	for i := range p.total / max(1, p.bound) {
		if work = work * 2 * (p.total - i) / (i + 1); work > setWork {
			return false
		}
	}
	return true
}

// findLots finds all cuttings; false when that is too much work.
func (c *columns) findLots() bool {
	all := c.p.sets(setWork)
	if all != nil {
		c.lots = lotsOf(all, len(c.p.demand))
	}
	return all != nil
}

func newColumns(p *planner) *columns {
	c := &columns{p: p, program: prices.New(p.counts(), 2), patterns: map[string]pattern{}, price: make([]int64, len(p.demand)), worth: make([]int64, len(p.stock))}
	for _, s := range p.laid {
		c.add(s.stock, s.joint)
	}
	return c
}

// solve looks for the best prices, then for plans. It takes so much work for one sheet at most.
func (c *columns) solve(most int) {
	c.most, c.work = most, 0
	known := false
	for range columnRounds {
		c.program.Solve(1e-7)
		var more bool
		if more, known = c.round(); !more {
			break
		}
	}
	if !c.p.done() {
		c.build()
	}
	if known && !c.any {
		c.cover()
	}
}

// counts is how many of each piece are needed.
func (p *planner) counts() []int {
	out := make([]int, len(p.demand))
	for i, d := range p.demand {
		out[i] = d.Count
	}
	return out
}

// done reports whether no plan can have fewer sheets than the best.
func (p *planner) done() bool { return p.best != nil && len(p.best) <= p.bound }

// round looks at every kind of sheet with the present prices. More is false when nothing new gains, or all was looked
// at that may be; known says that nothing was left out and worth holds.
func (c *columns) round() (more, known bool) {
	p := c.p
	for i := range c.price {
		c.price[i] = max(1, int64(min(max(c.program.Price[i], 0), 2)*pricesScale))
	}
	for s := range p.stock {
		joint, ok := c.gaining(s)
		if !ok {
			return false, false
		}
		if joint != nil && c.add(s, joint) {
			more = true
		}
	}
	p.bound = max(p.bound, c.least(c.worth))
	return more && c.work < columnWork*max(c.most, someWork) && !p.done(), true
}

// table is that of a kind of sheet with the present prices; nil when it is too large, or the time is over.
func (c *columns) table(stock int) *onesheet.Table {
	p := c.p
	t := onesheet.NewTable(p.ctx, p.sheet(stock), p.kinds(c.price), p.kerf)
	if t != nil {
		c.work += t.Work()
	}
	return t
}

// gaining is a cutting of a kind of sheet that gains, or nil; it notes the most that any is worth. It is false when the
// table is too large, or the time is over.
func (c *columns) gaining(stock int) (*onesheet.Joint, bool) {
	if c.lots != nil {
		return c.known(stock), true
	}
	t := c.table(stock)
	if t == nil {
		return nil, false
	}
	over := c.over()
	joint := t.Joint()
	if c.worth[stock] = t.Best(); c.worth[stock] <= over {
		return nil, true
	}
	if c.any {
		return joint, true
	}
	n := pattern{joint: joint, counts: make([]int, len(c.price))}
	joint.Count(n.counts)
	if n.within(c.p.counts()) {
		return joint, true
	}
	joint = nil
	for most := fewWork; joint == nil && most <= c.most && c.worth[stock] > over; most *= 20 {
		var work int
		joint, c.worth[stock], work = t.Within(over, most)
		c.work += work
	}
	return joint, true
}

// over is what a cutting must be worth to be of use: it gains, and if none does, a sheet less than the best plan has may
// still be enough.
func (c *columns) over() int64 {
	over := int64(pricesScale + nothing)
	if n := int64(len(c.p.best)) - 1; n > 0 {
		over = max(over, (c.all()-1)/n)
	}
	return over
}

// all is the price of all boards.
func (c *columns) all() int64 {
	sum := int64(0)
	for i, d := range c.p.demand {
		sum += c.price[i] * int64(d.Count)
	}
	return sum
}

// known is the same among all cuttings that are known.
func (c *columns) known(stock int) *onesheet.Joint {
	best := -1
	c.worth[stock] = 0
	for i, l := range c.lots {
		worth := int64(0)
		for _, h := range l.held {
			worth += c.price[h.of] * int64(h.count)
		}
		if l.stock == stock && worth > c.worth[stock] {
			best, c.worth[stock] = i, worth
		}
	}
	c.work += len(c.lots) * 4
	if c.worth[stock] <= pricesScale+nothing {
		return nil
	}
	return c.lots[best].joint()
}

// add takes a cutting into the program, if it is new.
func (c *columns) add(stock int, joint *onesheet.Joint) bool {
	n := pattern{stock: stock, joint: joint, counts: make([]int, len(c.price))}
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
	left := p.counts()
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
