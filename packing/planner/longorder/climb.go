package longorder

import (
	"cmp"
	"context"
	"slices"

	"solander/packing/planner/parcel"
	"solander/packing/prices"
)

// What bounds the work on the prices of one task.
const (
	boxes     = 40
	boxRounds = 30
	rounds    = 300
	mostKnown = 40  // parcels known that are added at once
	halfway   = 0.7 // how near to the best prices known the next ones are tried
)

// climb looks for the prices that prove the highest bound of a task, by column generation. The program's own prices
// swing far at first: so they are looked for in a box around the best known, which moves along and becomes smaller (R. E.
// Marsten, W. W. Hogan, J. W. Blankenship, "The boxstep method for large-scale optimization", 1975, from memory), and
// tried part of the way (P. Wentges, "Weighted Dantzig-Wolfe decomposition", 1997, from memory).
type climb struct {
	x     *master
	m     *node
	best  []float64
	mark  int64
	left  int // rounds
	until int // the work at which it ends
}

// raise raises the bound of a node and finds how much it takes of each parcel; false when it came to no end.
func (x *master) raise(ctx context.Context, m *node, most int) bool {
	x.task = m.task
	c := &climb{x: x, m: m, best: make([]float64, len(x.counts)+2+len(x.rows)), mark: -1 << 60, left: most}
	c.until = min(x.most, x.work+x.most*3/5)
	x.steps = walkSteps
	if copy(c.best, m.at); m.at == nil {
		copy(c.best, x.spread())
	}
	c.try(slices.Clone(c.best), func(*parcel.Pick) {})
	if m.at == nil || m.far {
		c.inBoxes(ctx)
	}
	p := x.program(x.chosen(c.best))
	c.run(ctx, p, c.left)
	m.value = x.solve(p)
	m.at, m.low = c.best, max(m.low, c.mark)
	m.share = make([]float64, len(x.pool))
	for i, v := range p.Taken() {
		m.share[p.columns[i]] = v
	}
	return c.left > 0 && x.work <= c.until
}

// inBoxes keeps the prices of the sheets near the best known, as long as that helps.
func (c *climb) inBoxes(ctx context.Context) {
	x, n := c.x, len(c.x.counts)
	width := 0.3
	for i := 0; i < boxes && width > 0.01 && c.left > 0 && ctx.Err() == nil && !c.enough(); i++ {
		p := x.program(x.chosen(c.best))
		low, high := x.within()
		mean := 0.0
		for _, price := range c.best[:n] {
			mean += price / float64(n)
		}
		for g, price := range c.best[:n] {
			by := float64(width * (price + mean) / 2)
			low[g], high[g] = max(0, price-by), price+by
		}
		p.Between(low, high)
		was := c.mark
		c.run(ctx, p, min(c.left, boxRounds))
		switch gain := c.mark - was; {
		case gain < x.top*scale/10_000:
			width /= 2
		case gain > x.top*scale/100:
			width = min(2*width, 4)
		}
	}
}

// enough reports that the bound cannot matter more, since it is as high as the plan known, or that all work is done.
func (c *climb) enough() bool { return prices.Upwards(c.mark, scale) >= c.x.top || c.x.work > c.until }

// run adds parcels to the program until none costs less than it is worth.
func (c *climb) run(ctx context.Context, p *program, most int) {
	x := c.x
	at := make([]float64, len(c.best))
	low, high := x.within()
	for ; most > 0 && c.left > 0 && !c.enough(); most-- {
		c.left--
		x.solve(p)
		for ctx.Err() == nil && c.known(p) {
			x.solve(p)
		}
		added := false
		for _, part := range []float64{halfway, halfway / 2, 0} {
			if ctx.Err() != nil {
				return
			}
			for g := range at {
				at[g] = min(max(float64(part*c.best[g])+float64((1-part)*p.Price[g]), low[g]), high[g])
			}
			c.try(at, func(k *parcel.Pick) {
				col := x.column(k)
				if e := x.entry(&col); p.Gain(&e) > c.little() {
					if place := x.add(k); !p.there[place] {
						added = true
						p.put(x, place)
					}
				}
			})
			if added || c.enough() {
				break
			}
		}
		if !added {
			if !x.cut || x.steps > 10*walkSteps {
				return
			}
			x.steps *= 3
		}
	}
}

// little is what a parcel gains that is not worth adding, in minor units.
func (c *climb) little() float64 { return 1e-6 * float64(c.x.top) }

// known adds those of the parcels known that cost less than they are worth; false when there are none.
func (c *climb) known(p *program) bool {
	x := c.x
	gain := make([]float64, len(x.pool))
	var list []int
	x.work += 20 * len(x.pool)
	for i := range x.pool {
		if !p.there[i] && x.takes(&x.pool[i]) {
			e := x.entry(&x.pool[i])
			if gain[i] = p.Gain(&e); gain[i] > c.little() {
				list = append(list, i)
			}
		}
	}
	slices.SortStableFunc(list, func(a, b int) int { return cmp.Compare(gain[b], gain[a]) })
	for _, i := range list[:min(len(list), mostKnown)] {
		p.put(x, i)
	}
	return len(list) > 0
}

// try looks what some prices prove.
func (c *climb) try(at []float64, found func(*parcel.Pick)) {
	least := c.x.search(c.x.set(at), found)
	if value := c.x.bound(least); value > c.mark {
		c.mark = value
		copy(c.best, at)
	}
}

// spread makes prices of what the parcels of the plan known cost: of each sheet what its parcel costs less without it,
// and the rest by mass.
func (x *master) spread() []float64 {
	out := make([]float64, len(x.counts))
	for _, p := range x.best {
		own := make([]float64, len(out))
		sum, mass := 0.0, 0.0
		for g, n := range p.Set {
			if n == 0 {
				continue
			}
			less := append([]int(nil), p.Set...)
			less[g]--
			if k := x.parcels.Of(less); len(k) > 0 {
				own[g] = float64(max(0, p.Money-k[0].Money))
			}
			sum += float64(own[g] * float64(n))
			mass += float64(float64(n) * float64(x.o.Groups[g].Leaf.Mass))
		}
		rest := max(0, float64(p.Money)-sum)
		for g, n := range p.Set {
			each := float64(own[g]*min(1, float64(p.Money)/max(sum, 1))) + float64(rest*float64(x.o.Groups[g].Leaf.Mass)/max(mass, 1))
			out[g] += float64(each*float64(n)) / float64(max(x.o.Counts[g], 1))
		}
	}
	return out
}
