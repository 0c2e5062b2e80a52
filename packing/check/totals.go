package check

import (
	"fmt"
	"slices"
	"strings"

	"solander/packing"
	"solander/tariff"
)

func measureOf(name string) tariff.Measure { return tariff.Measure(name) }

// totals looks at status and sums of the whole plan.
func (a *audit) totals() {
	var total int64
	for i := range a.plan.Parcels {
		total += a.plan.Parcels[i].Cost
	}
	held, infeasible, unproven := 0, 0, 0
	for i := range a.plan.Orders {
		o := &a.plan.Orders[i]
		if o.Status == packing.Infeasible || o.Parcels == 0 {
			held++
		}
		switch o.Status {
		case packing.Infeasible:
			infeasible++
		case packing.NotProven:
			unproven++
		}
	}
	status := packing.Optimal
	switch {
	case unproven > 0:
		status = packing.NotProven
	case infeasible == len(a.plan.Orders):
		status = packing.Infeasible
	}
	same(a, "status", "plan.status", status, a.plan.Status)
	same(a, "total", "plan.total", total, a.plan.Total)
	same(a, "held", "plan.held", held, a.plan.Held)
	a.bound("bound", a.plan.Status, a.plan.Total, a.plan.Bound)
}

// stock counts the pieces of every item used.
func (a *audit) stock() {
	used := map[string]int{}
	for i := range a.plan.Parcels {
		for _, e := range a.plan.Parcels[i].Layers {
			used[e.Item] += e.Count
		}
	}
	var want []packing.Use
	for id, count := range used {
		want = append(want, packing.Use{Item: id, Count: count})
		if item := a.reckoner.items[id]; item != nil && item.Stock != nil && count > *item.Stock {
			a.finding("stock_used", "shelf.stock", "%q: %d pieces are used, %d are there", id, count, *item.Stock)
		}
	}
	slices.SortFunc(want, func(x, y packing.Use) int { return strings.Compare(x.Item, y.Item) })
	same(a, "stock_used", "plan.stock", len(want), len(a.plan.StockUsed))
	for i := range min(len(want), len(a.plan.StockUsed)) {
		same(a, fmt.Sprintf("stock_used[%d]", i), "plan.stock", want[i], a.plan.StockUsed[i])
	}
}
