package packing_test

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"solander/packing"
)

// Shares worked by hand: 100 over 1, 1, 1 are 33 each and one left, for the first; 10 over 1, 2, 4 are 1, 2, 5 by parts
// 1.43, 2.86, 5.71, the two left go to the second and the third.
func TestShares(t *testing.T) {
	for _, c := range []struct {
		amount        int64
		weights, want []int64
	}{
		{100, []int64{1, 1, 1}, []int64{34, 33, 33}},
		{10, []int64{1, 2, 4}, []int64{1, 3, 6}},
		{0, []int64{3, 4}, []int64{0, 0}},
		{7, []int64{0, 0}, []int64{7, 0}},
		{math.MaxInt64, []int64{1 << 40, 1 << 40}, []int64{1 << 62, 1<<62 - 1}},
	} {
		if got := packing.Shares(c.amount, c.weights); !slices.Equal(got, c.want) {
			t.Errorf("%d over %d: %d, want %d", c.amount, c.weights, got, c.want)
		}
	}
}

// Shares add up, and none is a whole unit or more away from its part.
func TestSharesAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		amount := rapid.Int64Range(0, 1<<40).Draw(t, "amount")
		weights := rapid.SliceOfN(rapid.Int64Range(0, 1000), 1, 8).Draw(t, "weights")
		all, sum := int64(0), int64(0)
		for _, w := range weights {
			all += w
		}
		for i, s := range packing.Shares(amount, weights) {
			sum += s
			if d := s*all - amount*weights[i]; all > 0 && (d <= -all || d >= all) {
				t.Errorf("%d over %d: %d", amount, weights, s)
			}
		}
		if sum != amount {
			t.Errorf("the shares of %d add up to %d", amount, sum)
		}
	})
}
