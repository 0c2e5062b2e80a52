package packing

import (
	"cmp"
	"fmt"
	"math/bits"
	"slices"

	"solander/tariff"
)

// combined looks at the orders that may share parcels: they go to one place, and are not too many.
func (k *checker) combined() {
	first, orders, copies := map[string]*Order{}, map[string]int{}, map[string]int{}
	for i := range k.p.Orders {
		o := &k.p.Orders[i]
		if o.Combine == "" {
			continue
		}
		at := problem.Entry("orders", i)
		path := at.To("combine")
		k.must(tariff.IsID(o.Combine), path, "is no id", "1 to 80 characters, no space at either end, no control characters")
		for j := range o.Sheets {
			copies[o.Combine] += min(max(o.Sheets[j].Number(), 0), maxCopies+1)
		}
		orders[o.Combine]++
		was := first[o.Combine]
		if was == nil {
			first[o.Combine] = o
			continue
		}
		k.must(samePlace(was.Destination, o.Destination), path, fmt.Sprintf("names order %q, too, which goes elsewhere", was.ID), "combine only orders with the same destination")
		k.must(orders[o.Combine] != MostJoint+1, path, "joins too many orders", fmt.Sprintf("combine at most %d orders", MostJoint))
		k.must(copies[o.Combine] <= maxCopies, path, fmt.Sprintf("joins %d copies", copies[o.Combine]), "combined orders have at most 1000 copies")
	}
}

func samePlace(a, b Place) bool {
	return a.Country == b.Country && tariff.Postcode(a.Postcode) == tariff.Postcode(b.Postcode)
}

// Shares divides an amount over weights, both not negative: each gets its part rounded down, and what is left goes, one
// by one, to the largest remainders; of equal ones to the earlier. The sum is the amount. Where all weights are 0 the first
// bears all. There is at least one weight.
func Shares(amount int64, weights []int64) []int64 {
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

// SharesOf says what each order in a parcel bears of an amount: by the number of its copies there. The orders are ascending.
func (p *Parcel) SharesOf(amount int64) (orders []string, shares []int64) {
	var copies []int64
	for _, c := range p.Contents {
		at := slices.Index(orders, c.Order)
		if at < 0 {
			at = len(orders)
			orders, copies = append(orders, c.Order), append(copies, 0)
		}
		copies[at] += int64(c.Copies)
	}
	if len(orders) == 0 {
		return nil, nil
	}
	return orders, Shares(amount, copies)
}
