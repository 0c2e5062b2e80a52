package money

import (
	"cmp"
	"math/bits"
	"slices"
)

// Shares divides an amount over weights, none of them negative: each gets its part rounded down, and what is left goes, one
// by one, to the largest remainders; of equal ones to the earlier. The sum is the amount. Where all weights are 0 the first
// bears all. There is at least one weight. What is taken away is divided as what is added.
func Shares(amount int64, weights []int64) []int64 {
	if amount < 0 {
		out := Shares(-amount, weights)
		for i := range out {
			out[i] = -out[i]
		}
		return out
	}
	all := int64(0)
	for _, w := range weights {
		all += w
	}
	if all == 0 {
		weights, all = append([]int64{1}, weights[1:]...), 1
	}
	out, rest, by := make([]int64, len(weights)), make([]int64, len(weights)), make([]int, len(weights))
	left := amount
	for i, w := range weights {
		high, low := bits.Mul64(uint64(amount), uint64(w)) // the product may outgrow 64 bits
		part, remainder := bits.Div64(high, low, uint64(all))
		out[i], rest[i], by[i] = int64(part), int64(remainder), i
		left -= out[i]
	}
	slices.SortStableFunc(by, func(a, b int) int { return cmp.Compare(rest[b], rest[a]) })
	for _, i := range by[:left] {
		out[i]++
	}
	return out
}
