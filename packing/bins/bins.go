// Package bins knows how single numbers are divided among as few bins of one capacity as can be: parcels by
// weight, stacks by thickness.
//
// Sizes and the capacity are whole numbers of one unit. The answer is exact where it says that it is proven:
// bound and bins meet. The search counts its steps, so that the same input gives the same answer; where
// steps or time end first, the best packing so far comes back with a bound that holds.
package bins

import (
	"cmp"
	"context"
	"slices"

	"solander/fault"
)

// Packing is sizes by bin, as indices of what was asked, each bin and the bins in a fixed order. Fewer bins
// than Bound are surely not enough; Proven says that fewer than these are not.
type Packing struct {
	Bins   [][]int
	Bound  int
	Proven bool
}

const (
	mostSizes   = 20_000
	largestSize = int64(1) << 46 // so that sums of all sizes stay far below 2^63
)

// Pack divides sizes among the fewest bins. It takes best fit decreasing first, then searches bin by bin for
// packings with fewer.
// Faults: Invalid for a size or capacity that is not positive or too large; Refused for a size over the
// capacity.
func Pack(ctx context.Context, capacity int64, sizes []int64) (Packing, error) {
	if err := valid(capacity, sizes); err != nil {
		return Packing{}, err
	}
	order := make([]int, len(sizes))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(sizes[b], sizes[a]) })
	sorted := make([]int64, len(sizes))
	for i, o := range order {
		sorted[i] = sizes[o]
	}
	out := Packing{Bins: bestFit(capacity, sorted), Bound: AtLeast(capacity, sizes)}
	if len(out.Bins) > out.Bound {
		improve(ctx, capacity, sorted, &out)
	}
	out.Proven = len(out.Bins) == out.Bound
	for _, bin := range out.Bins {
		for i := range bin {
			bin[i] = order[bin[i]]
		}
	}
	return out, nil
}

func valid(capacity int64, sizes []int64) error {
	if capacity <= 0 || capacity > largestSize {
		return fault.Invalidf("capacity", "a capacity of %d is not from 1 to %d", capacity, largestSize)
	}
	if len(sizes) > mostSizes {
		return fault.New(fault.TooLarge, "%d sizes are more than %d", len(sizes), mostSizes).In("sizes")
	}
	for i, s := range sizes {
		if s <= 0 {
			return fault.Invalidf("sizes", "size %d is %d, and must be positive", i+1, s)
		}
		if s > capacity {
			return fault.New(fault.Refused, "size %d is %d, over the capacity of %d", i+1, s, capacity).In("sizes").
				ToMend("take a larger bin, or leave it out")
		}
	}
	return nil
}

// bestFit puts each size, the largest first, into the fullest bin that holds it.
func bestFit(capacity int64, sorted []int64) [][]int {
	var bins [][]int
	var free []int64
	for i, s := range sorted {
		best := -1
		for b, f := range free {
			if f >= s && (best < 0 || f < free[best]) {
				best = b
			}
		}
		if best < 0 {
			best = len(bins)
			bins, free = append(bins, nil), append(free, capacity)
		}
		bins[best] = append(bins[best], i)
		free[best] -= s
	}
	return bins
}

// AtLeast returns a number of bins that the sizes surely need: the bounds L1 and L2 of S. Martello and P.
// Toth, "Knapsack Problems", 1990, chapter 8. For every k up to half the capacity: sizes over capacity − k
// take a bin each, as do the others over half; sizes from k on share what those leave free.
func AtLeast(capacity int64, sizes []int64) int {
	sorted := slices.Clone(sizes)
	slices.Sort(sorted)
	sum := make([]int64, len(sorted)+1)
	for i, s := range sorted {
		sum[i+1] = sum[i] + s
	}
	half := upTo(sorted, capacity/2) // sizes up to half
	least := int((sum[len(sorted)] + capacity - 1) / capacity)
	for _, k := range append([]int64{0}, sorted[:half]...) {
		first := upTo(sorted, k-1)
		over := max(upTo(sorted, capacity-k), half)
		own := int64(over-half)*capacity - (sum[over] - sum[half]) // free beside those over half
		more := max(0, sum[half]-sum[min(first, half)]-own)
		least = max(least, len(sorted)-half+int((more+capacity-1)/capacity))
	}
	return least
}

// upTo returns how many sizes are not over a limit.
func upTo(sorted []int64, limit int64) int {
	i, _ := slices.BinarySearch(sorted, limit+1)
	return i
}
