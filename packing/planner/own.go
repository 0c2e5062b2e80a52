package planner

import (
	"context"
	"fmt"

	"solander/packing"
	"solander/packing/planner/parcel"
	"solander/tariff"
)

// scarce is the reason of an order that is held because packaging is scarce: its own parcels outrun the stock, or
// those of other orders take what it needs.
func (c *contest) scarce(i, member int) *packing.Reason {
	was, own := c.tied[i], newSolver(c.k.P)
	if !c.able[i].Has(member) {
		alone := own.first(context.Background(), own.NewOrder(was.o.Joint()...).Only(1<<member))
		if alone.split == nil {
			alone = was // it needs the company of others
		}
		return c.outruns(alone)
	}
	if len(c.tied) == 1 {
		return c.shared(c.tied)
	}
	results, _ := own.solve(context.Background(), []*parcel.Order{own.NewOrder(was.o.Joint()...)})
	if why := results[0].held[member].Reason; why != nil && results[0].proven && why.Rule == "shelf.stock" {
		return why
	}
	return c.shared(c.tied)
}

// outruns says of which item an order's plan that disregards the stock takes more than there are: the first by id.
// There is one when the order cannot go with the whole stock to itself.
func (c *contest) outruns(held *result) *packing.Reason {
	used := c.k.used([]*result{held})
	for _, it := range c.k.Items {
		if n := used[it.Index]; it.Stock != nil && n > *it.Stock {
			return &packing.Reason{
				Rule: "shelf.stock", Got: int64(n), Limit: int64(*it.Stock), Unit: "pieces",
				Text: fmt.Sprintf("the parcels of this order would take %s of %s, there are %d", tariff.Show(int64(n), "pieces"), it.ID, *it.Stock),
			}
		}
	}
	return c.shared([]*result{held})
}

// shared is the reason of an order that could go if others did not take what it needs.
func (c *contest) shared(tied []*result) *packing.Reason {
	used := c.k.used(tied)
	for _, it := range c.k.Track {
		need := used[it.Index]
		if need > *it.Stock && c.taken[it.Index] > 0 {
			return &packing.Reason{
				Rule: "shelf.shared", Got: int64(need), Limit: int64(*it.Stock), Unit: "pieces",
				Text: fmt.Sprintf("the orders of the day would take %d of %s, there are %d, and others take them", need, it.ID, *it.Stock),
			}
		}
	}
	return &packing.Reason{Rule: "shelf.shared", Text: "packaging is scarce and other orders take it"}
}
