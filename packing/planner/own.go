package planner

import (
	"context"
	"fmt"

	"solander/packing"
	"solander/tariff"
)

// scarce is the reason of an order that is held because packaging is scarce: its own parcels outrun the stock, or
// those of other orders take what it needs.
func (k *kit) scarce(tied []*result, held *result) *packing.Reason {
	if len(tied) == 1 {
		return k.outruns(held)
	}
	own := newKit(k.p)
	if results, _ := own.solve(context.Background(), []*order{own.newOrder(held.o.Order)}); results[0].node == nil && results[0].proven {
		return results[0].reason
	}
	return k.shared(tied)
}

// outruns says of which item an order's plan that disregards the stock takes more than there are: the first by id.
// There is one when the order cannot go with the whole stock to itself.
func (k *kit) outruns(held *result) *packing.Reason {
	used := k.used([]*result{held})
	for _, it := range k.items {
		if n := used[it.index]; it.Stock != nil && n > *it.Stock {
			return &packing.Reason{
				Rule: "shelf.stock", Got: int64(n), Limit: int64(*it.Stock), Unit: "pieces",
				Text: fmt.Sprintf("the parcels of this order would take %s of %s, there are %d", tariff.Show(int64(n), "pieces"), it.ID, *it.Stock),
			}
		}
	}
	return k.shared([]*result{held})
}
