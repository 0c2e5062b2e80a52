package planner

import (
	"context"
	"fmt"

	"solander/packing"
	"solander/tariff"
)

// scarce is the reason of an order that is held because packaging is scarce: its own parcels outrun the stock, or
// those of other orders take what it needs.
func (c *contest) scarce(i, member int) *packing.Reason {
	was, own := c.tied[i], newSolver(c.k.p)
	if !c.able[i].has(member) {
		alone := own.first(context.Background(), own.newOrder(was.o.joint()...).only(1<<member))
		if alone.node == nil {
			alone = was // it needs the company of others
		}
		return c.outruns(alone)
	}
	if len(c.tied) == 1 {
		return c.shared(c.tied)
	}
	results, _ := own.solve(context.Background(), []*order{own.newOrder(was.o.joint()...)})
	if why := results[0].held[member].reason; why != nil && results[0].proven && why.Rule == "shelf.stock" {
		return why
	}
	return c.shared(c.tied)
}

// outruns says of which item an order's plan that disregards the stock takes more than there are: the first by id.
// There is one when the order cannot go with the whole stock to itself.
func (c *contest) outruns(held *result) *packing.Reason {
	used := c.k.used([]*result{held})
	for _, it := range c.k.items {
		if n := used[it.index]; it.Stock != nil && n > *it.Stock {
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
	for _, it := range c.k.track {
		need := 0
		for _, r := range tied {
			for _, p := range r.node.parcels() {
				for c := p.final.last; c != nil; c = c.prev {
					if c.item == it {
						need += c.count
					}
				}
			}
		}
		if need > *it.Stock && c.taken[it.index] > 0 {
			return &packing.Reason{
				Rule: "shelf.shared", Got: int64(need), Limit: int64(*it.Stock), Unit: "pieces",
				Text: fmt.Sprintf("the orders of the day would take %d of %s, there are %d, and others take them", need, it.ID, *it.Stock),
			}
		}
	}
	return &packing.Reason{Rule: "shelf.shared", Text: "packaging is scarce and other orders take it"}
}
