package longorder

import (
	"context"

	"solander/packing/planner/partition"
	"solander/packing/prices"
)

// What bounds the work of linear.
const (
	priceRounds = 60
	mostPooled  = 700
)

// linear looks for good prices by the linear program over what the templates may hold at best, made larger as long as
// some template holds something that is worth more than it costs. It returns the best prices; whatever prices are
// tried raise the bounds.
func (d *dual) linear(ctx context.Context, top int64, known *partition.Split) []float64 {
	n := len(d.price)
	p := prices.New(d.o.Counts, float64(top)+1)
	for _, pick := range known.Parcels() {
		c := prices.Column{Cost: float64(pick.Money)}
		for g, k := range pick.Set {
			if k > 0 {
				c.Of, c.Held = append(c.Of, g), append(c.Held, float64(k))
			}
		}
		p.Add(c)
	}
	slots := d.allSlots()
	best, mark := make([]float64, n), int64(-1)
	at := make([]float64, n)
	for round := range priceRounds {
		if ctx.Err() != nil {
			break
		}
		p.Solve(1e-6 * float64(top))
		p.Forget(mostPooled)
		// Halfway to the best prices so far: the program's own swing far at first.
		for _, half := range []float64{0.6, 0} {
			if round == 0 {
				half = 0
			}
			for g := range at {
				at[g] = max(0, float64(half*best[g])+float64((1-half)*p.Price[g]))
			}
			value, added := d.generate(p, slots, at, top)
			if value > mark {
				mark = value
				copy(best, at)
			}
			if added {
				break
			}
			if half == 0 {
				return best
			}
		}
		if low, _, _ := d.bound(); low >= top {
			break
		}
	}
	return best
}

// generate adds to the program, of each class of templates, what gains most at some prices. It returns the bound of
// these prices, whatever the number of parcels, in parts of a minor unit, and whether anything gains at the
// program's own prices.
func (d *dual) generate(p *prices.Program, slots [2][]*slot, at []float64, top int64) (int64, bool) {
	d.set(at, top)
	found := d.evaluate()
	sum := int64(0)
	for g := range d.price {
		sum += d.price[g] * int64(d.o.Groups[g].Copies)
	}
	worst := min(0, found[0].z, found[1].z)
	lows := map[*ranking]*slot{}
	for _, list := range slots {
		for _, s := range list {
			s.reckon()
			if b := lows[s.r]; b == nil || s.at.z < b.at.z {
				lows[s.r] = s
			}
		}
	}
	added := false
	held := make([]float64, len(d.price))
	for _, list := range slots {
		for _, s := range list { // in a fixed order
			if lows[s.r] != s {
				continue
			}
			clear(held)
			s.at.by.taken(d.o.Counts, s.at.limit, 1, held)
			c := prices.Column{Cost: float64(s.at.z) / prices.Scale}
			for g, h := range held {
				if h > 1e-9 {
					c.Of, c.Held = append(c.Of, g), append(c.Held, h)
					c.Cost += float64(float64(d.price[g]) / prices.Scale * h)
				}
			}
			if len(c.Of) > 0 && p.Gain(&c) > 1e-6*float64(top) {
				p.Add(c)
				added = true
			}
		}
	}
	// No plan has more parcels than copies; a plan known bounds them better, but few is what matters.
	return sum + worst*int64(len(p.Price)), added
}
