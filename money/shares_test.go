package money_test

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"solander/money"
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
		{-10, []int64{1, 2, 4}, []int64{-1, -3, -6}},
		{math.MaxInt64, []int64{1 << 40, 1 << 40}, []int64{1 << 62, 1<<62 - 1}},
	} {
		if got := money.Shares(c.amount, c.weights); !slices.Equal(got, c.want) {
			t.Errorf("%d over %d: %d, want %d", c.amount, c.weights, got, c.want)
		}
	}
}

// Source: the apportionment of the first congress of the United States by the method of largest remainders, as in textbooks (60 seats, the
// fifteen states of the census of 1790, 3 615 920 people); the two small ones, common exercises of it.
func TestSharesAsSeatsAreApportioned(t *testing.T) {
	for _, c := range []struct {
		seats        int64
		people, want []int64
	}{
		{60, []int64{630560, 475327, 432879, 353523, 331589, 278514, 236841, 206236, 179570, 141822, 85533, 70835, 68705, 68446, 55540}, []int64{11, 8, 7, 6, 6, 5, 4, 3, 3, 2, 1, 1, 1, 1, 1}},
		{7, []int64{50, 30, 20}, []int64{4, 2, 1}},
		{42, []int64{247, 185, 459, 400, 413}, []int64{6, 5, 11, 10, 10}},
	} {
		if got := money.Shares(c.seats, c.people); !slices.Equal(got, c.want) {
			t.Errorf("%d seats: %d, want %d", c.seats, got, c.want)
		}
	}
}

// Worked by hand: 49.99 by 50, 30 and 20 are 24.995, 14.997 and 9.998, and the two largest remainders win; of equal ones the first do.
func TestCentsAreShared(t *testing.T) {
	for _, c := range []struct {
		cents         int64
		weights, want []int64
	}{
		{1000, []int64{1, 1, 1}, []int64{334, 333, 333}},
		{4999, []int64{50, 30, 20}, []int64{2499, 1500, 1000}},
		{5, []int64{1, 1, 1}, []int64{2, 2, 1}},
	} {
		if got := money.Shares(c.cents, c.weights); !slices.Equal(got, c.want) {
			t.Errorf("%d cents: %d, want %d", c.cents, got, c.want)
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
		for i, s := range money.Shares(amount, weights) {
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
