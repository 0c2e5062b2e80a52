package packing

import (
	"fmt"
	"slices"

	"solander/money"
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
	return orders, money.Shares(amount, copies)
}
