package planner

import (
	"context"

	"solander/packing/planner/partition"
	"solander/packing/prices"
)

// Scarce stock has a price. Let every piece of a watched item cost λ more: then each order may choose on its
// own, and what all of them pay together, less λ for every piece there is, is no more than any plan costs that
// keeps to the stock. The best λ is looked for; the bound is right for every one, and whole numbers only.

// lagrangeSteps bounds the search for λ.
const lagrangeSteps = 1500

// lagrange returns prices for the watched items, in parts of a minor unit, and the bound that they prove for the
// orders that are sent.
func (c *contest) lagrange(ctx context.Context, choices [][]*partition.Split, sent func(i int) bool) (lambda []int64, bound int64) {
	lambda = make([]int64, len(c.k.Track))
	at := make([]int64, len(c.k.Track))
	mark, size, stay := int64(-1)<<60, int64(1<<9), 0
	for range lagrangeSteps {
		if mark >= 0 && ctx.Err() != nil {
			break
		}
		value, use := c.priced(choices, sent, at)
		if value > mark {
			mark, stay = value, 0
			copy(lambda, at)
		} else if stay++; stay > 20 {
			size, stay = size/2, 0
			copy(at, lambda)
		}
		if size == 0 {
			break
		}
		for i, t := range c.k.Track {
			at[i] = min(max(0, at[i]+size*scaleStep*int64(use[i]-*t.Stock)), prices.Dearest)
		}
	}
	return lambda, prices.Upwards(mark, prices.Scale)
}

// scaleStep is the smallest step of λ.
const scaleStep = prices.Scale / 64

// priced is the bound for a λ, in parts, and how much all orders take of each watched item then.
func (c *contest) priced(choices [][]*partition.Split, sent func(i int) bool, lambda []int64) (int64, []int) {
	sum, use := int64(0), make([]int, len(c.k.Track))
	for i, splits := range choices {
		if !sent(i) {
			continue
		}
		if !c.all[i] || len(splits) == 0 {
			sum += c.rest[i] * prices.Scale
			continue
		}
		var best *partition.Split
		low := int64(0)
		for _, n := range splits {
			if cost := n.Money*prices.Scale + dot(lambda, n.Use); best == nil || cost < low {
				best, low = n, cost
			}
		}
		sum += low
		for j, u := range best.Use {
			use[j] += int(u)
		}
	}
	for j, t := range c.k.Track {
		sum -= lambda[j] * int64(*t.Stock)
	}
	return sum, use
}

func dot(lambda []int64, use []int32) int64 {
	sum := int64(0)
	for i, u := range use {
		sum += lambda[i] * int64(u)
	}
	return sum
}
