package planner

import "context"

// Scarce stock has a price. Let every piece of a watched item cost λ more: then each order may choose on its
// own, and what all of them pay together, less λ for every piece there is, is no more than any plan costs that
// keeps to the stock. The best λ is looked for; the bound is right for every one, and whole numbers only.

// lagrangeSteps bounds the search for λ.
const lagrangeSteps = 1500

// lagrange returns prices for the watched items, in parts of a minor unit, and the bound that they prove for the
// orders that are sent. rest is what an order whose splits are not all known costs at least.
func (k *kit) lagrange(ctx context.Context, choices [][]*node, all []bool, rest []int64, sent func(i int) bool) (lambda []int64, bound int64) {
	lambda = make([]int64, len(k.track))
	at := make([]int64, len(k.track))
	mark, size, stay := int64(-1)<<60, int64(1<<9), 0
	for range lagrangeSteps {
		if mark >= 0 && ctx.Err() != nil {
			break
		}
		value, use := k.priced(choices, all, rest, sent, at)
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
		for i, t := range k.track {
			at[i] = min(max(0, at[i]+size*scaleStep*int64(use[i]-*t.Stock)), dearest)
		}
	}
	return lambda, upwards(mark, scale)
}

// scaleStep is the smallest step of λ.
const scaleStep = scale / 64

// priced is the bound for a λ, in parts, and how much all orders take of each watched item then.
func (k *kit) priced(choices [][]*node, all []bool, rest []int64, sent func(i int) bool, lambda []int64) (int64, []int) {
	sum, use := int64(0), make([]int, len(k.track))
	for i, splits := range choices {
		if !sent(i) {
			continue
		}
		if !all[i] || len(splits) == 0 {
			sum += rest[i] * scale
			continue
		}
		var best *node
		low := int64(0)
		for _, n := range splits {
			if c := n.money*scale + dot(lambda, n.use); best == nil || c < low {
				best, low = n, c
			}
		}
		sum += low
		for j, u := range best.use {
			use[j] += int(u)
		}
	}
	for j, t := range k.track {
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
