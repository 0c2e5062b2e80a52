package planner

// floor says which mixes may still become better than one that is known: those that, with the least that the
// orders to come can cost when scarce stock has a price, do not cost more. Which prices they are does not matter.
type floor struct {
	lambda []int64
	best   worth
	rest   []int64 // what the orders from a place on cost at least, in parts, the stock paid for; -1: none may go
	stock  int64   // what all the stock is worth
}

// newFloor makes the floor for a mix that is known; nil when the sums might not go into 64 bits.
func (c *contest) newFloor(lambda []int64, best worth) *floor {
	if best.money >= dearest {
		return nil
	}
	f := &floor{lambda: lambda, best: best, rest: make([]int64, len(c.choices)+1)}
	for i, t := range c.k.track {
		f.stock += lambda[i] * int64(*t.Stock)
	}
	for i := len(c.choices) - 1; i >= 0; i-- {
		low := int64(-1)
		for _, n := range c.choices[i] {
			if cost := n.money*scale + dot(lambda, n.use); n.held == 0 && n.money <= best.money && (low < 0 || cost < low) {
				low = cost
			}
		}
		if f.rest[i] = -1; low >= 0 && f.rest[i+1] >= 0 {
			f.rest[i] = low + f.rest[i+1]
		}
	}
	return f
}

// hopeless reports that a mix of the first so many orders can only become worse than the one known.
func (f *floor) hopeless(m *mix, orders int) bool {
	switch {
	case f == nil || m.held < f.best.held:
		return false
	case m.held > f.best.held || m.money > f.best.money || f.rest[orders] < 0:
		return true
	}
	return upwards(m.money*scale+dot(f.lambda, m.use)+f.rest[orders]-f.stock, scale) > f.best.money
}
