package longorder

import (
	"math/bits"
	"slices"

	"solander/packing/prices"
	"solander/tariff"
)

// coverStep is cover of one price: it serves up to a value.
type coverStep struct{ value, price int64 }

// cover is a table of cover for one order. A parcel pays the price of a step; that is at least the lead plus a rate for
// all its value, so that the sheets may pay for their cover one by one where a bound is wanted.
type cover struct {
	steps []coverStep
	each  []int64 // by group, in parts
	lead  int64   // in parts
}

func newCover(table *tariff.Cover, values []int64, all int64) *cover {
	c := &cover{steps: coverSteps(table, all), each: make([]int64, len(values))}
	first, last := c.steps[0], c.steps[len(c.steps)-1]
	c.lead = first.price * scale
	if last.price <= first.price || last.value <= first.value || last.price > prices.Dearest || last.value > 1<<40 {
		return c
	}
	rate := func(value int64) int64 { // rounded down
		hi, lo := bits.Mul64(uint64(last.price-first.price)*scale, uint64(value))
		q, _ := bits.Div64(hi, lo, uint64(last.value-first.value))
		return int64(q)
	}
	if hi, _ := bits.Mul64(uint64(last.price-first.price)*scale, uint64(last.value)); hi >= uint64(last.value-first.value) || rate(last.value) > 1<<50 {
		return c
	}
	for g, v := range values {
		c.each[g] = rate(min(v, last.value))
	}
	for _, s := range c.steps {
		c.lead = min(c.lead, s.price*scale-rate(s.value))
	}
	return c
}

// price is what cover of a value costs at least.
func (c *cover) price(value int64) int64 {
	at, _ := slices.BinarySearchFunc(c.steps, value, func(s coverStep, v int64) int { return int(min(max(s.value-v, -1), 1)) })
	return c.steps[min(at, len(c.steps)-1)].price
}

// coverSteps lists the prices of cover up to a value; a parcel of no more than value pays at least the price of
// the first step that serves it. Past many steps one price serves for all that is dearer.
func coverSteps(c *tariff.Cover, all int64) []coverStep {
	out := []coverStep{{min(c.Included, all), 0}}
	last := int64(0)
	for _, s := range c.Steps {
		last = s.UpTo
		if s.UpTo > c.Included && out[len(out)-1].value < all {
			out = append(out, coverStep{min(s.UpTo, all), s.Price})
		}
	}
	for n := int64(1); c.Per > 0 && out[len(out)-1].value < all; n++ {
		to := last + n*c.Per
		if n > mostCoverSteps {
			to = all
		}
		price, _, ok := c.Price(max(last+(n-1)*c.Per, c.Included) + 1)
		if !ok {
			break
		}
		if to > c.Included {
			out = append(out, coverStep{min(to, all), price})
		}
	}
	for i := len(out) - 2; i >= 0; i-- { // prices that fall would spoil the order
		out[i].price = min(out[i].price, out[i+1].price)
	}
	return out
}

const mostCoverSteps = 2000
