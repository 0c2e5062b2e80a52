package longorder

import (
	"cmp"
	"slices"

	"solander/measure"
	"solander/packing/planner/least"
	"solander/packing/planner/memo"
	"solander/packing/planner/parcel"
	"solander/packing/planner/partition"
	"solander/packing/prices"
)

// row counts the parcels of a kind, or those that hold so many copies of some groups.
type row struct {
	*kind       // that counts; nil: by what is in it
	of    []int // groups
	many  int
	limit int
	least bool // there are so many at least, not at most
}

// times is how often a parcel counts that holds so many copies of the groups.
func (r *row) times(n int) int {
	return btoi(n >= r.many)
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

// short is how many copies are there as long as they are too few to count.
func (r *row) short(n int) int {
	if n < r.many {
		return n
	}
	return 0
}

func (r *row) counted(c *column) int {
	if r.kind != nil {
		return btoi(r.kind.has(c))
	}
	n := 0
	for _, g := range r.of {
		n += c.Set[g]
	}
	return r.times(n)
}

// column is a parcel that a plan may have.
type column struct {
	*parcel.Pick
	of          []int // the groups in it
	long, short measure.Length
	mask        uint // the grade conditions that some of them meet
}

func (x *master) column(p *parcel.Pick) column {
	c := column{Pick: p}
	for g, n := range p.Set {
		if n > 0 {
			leaf := x.o.Groups[g].Leaf
			c.of = append(c.of, g)
			c.long, c.short, c.mask = max(c.long, leaf.Long()), max(c.short, leaf.Short()), c.mask|x.bits[g]
		}
	}
	return c
}

// master is the linear program over parcels: the least cost of parcels, or of parts of such, that hold every sheet. Its
// prices, as whole numbers, prove bounds. Columns are found when they cost less than their sheets are worth.
type master struct {
	o       *parcel.Order
	parcels *memo.Parcels
	fields  []*field
	bits    []uint // of the grade conditions, which each group meets
	pool    []column
	known   map[string]int // sets of sheets in the pool
	best    []*parcel.Pick // the plan known
	worth   []int64        // of the rows, at the present prices
	price   []int64        // of a copy of each group, in parts of a minor unit
	rowsOf  [][]int        // by group, of those that are worth anything
	each    []int64        // of the rows that are worth something only once several copies are there: of a copy
	work    int
	steps   int  // that a walk takes at most
	cut     bool // some walk of the last search took more
	most    int  // work after which nothing is begun
	loose   bool // what some sets cost at least is known by their template alone
	task
}

// task is what is to be solved: the sheets to send, at less than so much, by so many parcels, and what is known of them.
type task struct {
	counts   []int
	top      int64
	from, to int
	rows     []row
	without  map[string]bool // parcels that are left out
}

// node is a part of the plans.
type node struct {
	task
	low   int64     // no such plan costs less, in parts
	at    []float64 // the prices that prove it: of the groups, of one parcel more at least and at most, of the rows
	share []float64 // how much of each column of the pool is taken
	value float64   // what it costs to take so much
	open  bool      // they were looked for to no end
	far   bool      // the prices may be far from the best
}

func newMaster(k *parcel.Kit, o *parcel.Order, list []*least.Template, known *partition.Split) *master {
	x := &master{o: o, parcels: memo.New(k, o), fields: fieldsOf(o, list), bits: least.Bits(k, o), known: map[string]int{}, price: make([]int64, len(o.Counts)), best: known.Parcels()}
	for _, p := range x.best {
		x.add(p)
	}
	return x
}

// add puts a parcel in the pool; it returns its place.
func (x *master) add(p *parcel.Pick) int {
	key := memo.Key(append(slices.Clone(p.Set), p.Wrap.Index))
	if at, ok := x.known[key]; ok {
		return at
	}
	x.known[key] = len(x.pool)
	x.pool = append(x.pool, x.column(p))
	return len(x.pool) - 1
}

// entry is a parcel as the linear program knows it.
func (x *master) entry(c *column) prices.Column {
	n := len(x.counts)
	out := prices.Column{Cost: float64(c.Money)}
	for _, g := range c.of {
		out.Of, out.Held = append(out.Of, g), append(out.Held, float64(c.Set[g]))
	}
	out.Of, out.Held = append(out.Of, n, n+1), append(out.Held, 1, 1)
	for i := range x.rows {
		if h := x.rows[i].counted(c); h > 0 {
			out.Of, out.Held = append(out.Of, n+2+i), append(out.Held, float64(h))
		}
	}
	return out
}

// sides is what the program asks for in each row.
func (x *master) sides() []int {
	out := append(slices.Clone(x.counts), x.from, x.to)
	for i := range x.rows {
		out = append(out, x.rows[i].limit)
	}
	return out
}

// within is between what the price of each row of the program lies.
func (x *master) within() (low, high []float64) {
	n, dear := len(x.counts), float64(x.top)+1
	low, high = make([]float64, n+2+len(x.rows)), make([]float64, n+2+len(x.rows))
	for g := range high {
		if g == n+1 || g > n+1 && !x.rows[g-n-2].least {
			low[g] = -dear
		} else {
			high[g] = dear
		}
	}
	return low, high
}

// program is the linear program over some of the pool.
type program struct {
	*prices.Program
	columns []int // places in the pool
	there   map[int]bool
}

func (p *program) put(x *master, at int) {
	p.there[at] = true
	p.columns = append(p.columns, at)
	p.Add(x.entry(&x.pool[at]))
}

// takes reports whether a plan of the task may have a column.
func (x *master) takes(c *column) bool {
	return !slices.ContainsFunc(c.of, func(g int) bool { return c.Set[g] > x.counts[g] }) && (x.without == nil || !x.without[memo.Key(c.Set)])
}

// chosen lists those columns that a plan of the task may have and that are best by some prices, so many at most.
func (x *master) chosen(by []float64) []int {
	var columns []int
	for i := range x.pool {
		if x.takes(&x.pool[i]) {
			columns = append(columns, i)
		}
	}
	x.work += 20 * len(x.pool)
	if most := 3*len(x.counts) + 200; len(columns) > most {
		x.set(by)
		z := make([]int64, len(x.pool))
		for _, i := range columns {
			z[i] = x.beyond(&x.pool[i])
		}
		slices.SortStableFunc(columns, func(a, b int) int { return cmp.Compare(z[a], z[b]) })
		columns = columns[:most]
	}
	return columns
}

// program is that of the task over some columns.
func (x *master) program(columns []int) *program {
	p := &program{Program: prices.New(x.sides(), 0), there: map[int]bool{}}
	p.Between(x.within())
	for _, i := range columns {
		p.put(x, i)
	}
	return p
}

// solve solves a program of the task, and returns what its plan costs.
func (x *master) solve(p *program) (value float64) {
	was := p.Work
	p.Solve(1e-7 * float64(x.top))
	x.work += (p.Work - was) / 2
	for g, side := range x.sides() {
		value += float64(p.Price[g] * float64(side))
	}
	return value
}

// mostPriced bounds what all sheets are worth together, in minor units, so that no sum outgrows 64 bits.
const mostPriced = 8 * prices.Dearest

// set takes prices over, in whole parts. It returns what a parcel more is worth by them.
func (x *master) set(at []float64) int64 {
	n, sum := len(x.counts), 0.0
	for g, c := range x.counts {
		sum += float64(at[g] * float64(c))
	}
	fit := min(1, mostPriced/max(sum, 1)) * scale
	for g := range x.counts {
		x.price[g] = int64(at[g] * fit)
	}
	x.rowsOf, x.worth, x.each = make([][]int, n), x.worth[:0], x.each[:0]
	for i := range x.rows {
		x.worth = append(x.worth, int64(at[n+2+i]*fit))
		each := int64(0)
		if many := int64(x.rows[i].many); many > 1 && x.worth[i] > 0 {
			each = (x.worth[i] + many - 1) / many
		}
		x.each = append(x.each, each)
		if x.worth[i] != 0 && x.rows[i].kind == nil {
			for _, g := range x.rows[i].of {
				x.rowsOf[g] = append(x.rowsOf[g], i)
			}
		}
	}
	return int64((at[n] + at[n+1]) * fit)
}

// beyond is what a parcel costs beyond what it is worth at the present prices.
func (x *master) beyond(c *column) int64 {
	z := c.Money * scale
	for _, g := range c.of {
		z -= int64(c.Set[g]) * x.price[g]
	}
	for i, worth := range x.worth {
		if worth != 0 {
			z -= worth * int64(x.rows[i].counted(c))
		}
	}
	return z
}

// bound is what no plan of the task costs less than, in parts, when no parcel costs less than so much beyond its worth.
func (x *master) bound(least int64) int64 {
	sum := int64(0)
	for g, c := range x.counts {
		sum += x.price[g] * int64(c)
	}
	for i, worth := range x.worth {
		sum += worth * int64(x.rows[i].limit)
	}
	switch {
	case least < -(never/2)/int64(x.to+1): // the product might not go into 64 bits
		return -never
	case least < 0:
		return sum + least*int64(x.to)
	}
	return sum + least*int64(x.from)
}

// search looks for parcels that cost less than the limit beyond what they are worth, and tells of the best of each field.
// It returns what no parcel costs less than, at most the limit.
func (x *master) search(limit int64, found func(p *parcel.Pick)) int64 {
	least := limit
	x.cut = false
	for _, f := range x.fields {
		low := f.ready(x)
		x.work += 40*len(f.order) + 8*len(f.slots)
		if low >= limit {
			continue
		}
		f.label(x.counts, limit)
		x.work += (len(f.order) + 1) * f.few * massCells
		best, low := x.inField(f, limit)
		if least = min(least, low); best != nil {
			found(best)
		}
	}
	return least
}

// inField searches one field.
func (x *master) inField(f *field, limit int64) (best *parcel.Pick, least int64) {
	least = limit
	w := &walk{x: x, f: f, limit: limit, set: make([]int, len(x.counts)), held: make([]int, len(x.rows))}
	w.found = func(set []int, beyond int64) int64 {
		var p []parcel.Pick
		if len(x.rows) == 0 {
			p = x.parcels.Of(set)
		} else {
			p = x.parcels.By(set, f.Wrap)
		}
		x.work += 1000
		low := w.limit
		if len(p) > 0 && !x.without[memo.Key(set)] {
			c := x.column(&p[0])
			if z := x.beyond(&c); z < low || best == nil && z < limit {
				low, best = min(z, low), &p[0]
			}
		}
		if x.loose {
			low = min(low, beyond)
		}
		return low
	}
	lows := make([]int64, len(f.slots))
	order := make([]int, len(f.slots))
	for i, s := range f.slots {
		order[i], lows[i] = i, f.lead(s)-f.hope-f.yet(0, s.Most, s.free)
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(lows[a], lows[b]) })
	for _, i := range order {
		if lows[i] >= w.limit {
			break
		}
		w.s, w.steps = f.slots[i], 0
		if !w.all() {
			x.cut = true
			least = min(least, lows[i])
		}
		x.work += (40 + 4*len(x.rows)) * w.steps
	}
	return best, min(least, w.limit)
}
