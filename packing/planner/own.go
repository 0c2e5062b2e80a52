package planner

import (
	"context"
	"fmt"

	"solander/packing"
	"solander/tariff"
)

// scarce is the reason of an order that is held because packaging is scarce: its own parcels outrun the stock, or
// those of other orders take what it needs. able are those that the watched stock suffices for.
func (k *kit) scarce(tied []*result, was *result, member int, able members, taken []int) *packing.Reason {
	own := newKit(k.p)
	if !able.has(member) {
		alone := own.first(context.Background(), own.newOrder(was.o.joint()...).only(1<<member))
		if alone.node == nil {
			alone = was // it needs the company of others
		}
		return k.outruns(alone, taken)
	}
	if len(tied) == 1 {
		return k.shared(tied, taken)
	}
	results, _ := own.solve(context.Background(), []*order{own.newOrder(was.o.joint()...)})
	if why := results[0].held[member].reason; why != nil && results[0].proven && why.Rule == "shelf.stock" {
		return why
	}
	return k.shared(tied, taken)
}

// outruns says of which item an order's plan that disregards the stock takes more than there are: the first by id.
// There is one when the order cannot go with the whole stock to itself.
func (k *kit) outruns(held *result, taken []int) *packing.Reason {
	used := k.used([]*result{held})
	for _, it := range k.items {
		if n := used[it.index]; it.Stock != nil && n > *it.Stock {
			return &packing.Reason{
				Rule: "shelf.stock", Got: int64(n), Limit: int64(*it.Stock), Unit: "pieces",
				Text: fmt.Sprintf("the parcels of this order would take %s of %s, there are %d", tariff.Show(int64(n), "pieces"), it.ID, *it.Stock),
			}
		}
	}
	return k.shared([]*result{held}, taken)
}
