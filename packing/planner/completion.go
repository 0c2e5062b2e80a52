package planner

import (
	"solander/packing/planner/parcel"
	"solander/packing/prices"
)

// completion says which allocations may still become better than one that is known: those that, with the least that the
// orders to come can cost when scarce stock has a price, do not cost more. Which prices they are does not matter.
type completion struct {
	lambda []int64
	best   parcel.Worth
	rest   []int64 // what the orders from a place on cost at least, in parts, the stock paid for; -1: none may go
	stock  int64   // what all the stock is worth
}

// newCompletion makes the completion bounds for an allocation that is known; nil when the sums might not go into 64 bits.
func (c *contest) newCompletion(lambda []int64, best parcel.Worth) *completion {
	if best.Money >= prices.Dearest {
		return nil
	}
	f := &completion{lambda: lambda, best: best, rest: make([]int64, len(c.choices)+1)}
	for i, t := range c.k.Track {
		f.stock += lambda[i] * int64(*t.Stock)
	}
	for i := len(c.choices) - 1; i >= 0; i-- {
		low := int64(-1)
		for _, n := range c.choices[i] {
			if cost := n.Money*prices.Scale + dot(lambda, n.Use); n.Held == 0 && n.Money <= best.Money && (low < 0 || cost < low) {
				low = cost
			}
		}
		if f.rest[i] = -1; low >= 0 && f.rest[i+1] >= 0 {
			f.rest[i] = low + f.rest[i+1]
		}
	}
	return f
}

// hopeless reports that an allocation of the first so many orders can only become worse than the one known.
func (f *completion) hopeless(m *allocation, orders int) bool {
	switch {
	case f == nil || m.Held < f.best.Held:
		return false
	case m.Held > f.best.Held || m.Money > f.best.Money || f.rest[orders] < 0:
		return true
	}
	return prices.Upwards(m.Money*prices.Scale+dot(f.lambda, m.use)+f.rest[orders]-f.stock, prices.Scale) > f.best.Money
}
