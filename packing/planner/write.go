package planner

import (
	"context"
	"slices"
	"strings"

	"solander/money"
	"solander/packing"
	"solander/packing/planner/explain"
	"solander/packing/planner/means"
	"solander/packing/planner/parcel"
	"solander/packing/planner/partition"
)

// written is a parcel on its way into the plan.
type written struct {
	pick     *parcel.Pick
	o        *parcel.Order
	parts    []explain.Part
	parcel   packing.Parcel
	rejected []packing.Rejected
}

// parcels writes out the parcels of all orders. What is rejected is left out once the context is cancelled:
// the list explains, and nobody waits for it then.
func (k *solver) parcels(ctx context.Context, orders []*parcel.Order, results []*result) []*written {
	var all []*written
	for i, r := range results {
		pool := explain.NewPool(orders[i])
		for _, p := range r.split.Parcels() {
			all = append(all, &written{pick: p, o: orders[i], parts: pool.Draw(p.Set)})
		}
	}
	slices.SortStableFunc(all, func(a, b *written) int { return strings.Compare(a.parts[0].Order, b.parts[0].Order) })
	partition.Each(context.WithoutCancel(ctx), len(all), nil, func(i int) {
		w := all[i]
		w.parcel = explain.Parcel(k.Kit, w.pick, w.o, w.parts)
		if ctx.Err() == nil {
			w.rejected = explain.Rejected(k.Kit, w.pick, w.o, w.parts, i)
		}
	})
	return all
}

// write makes the plan of the answers.
func (k *solver) write(ctx context.Context, orders []*parcel.Order, results []*result) packing.Plan {
	out := packing.Plan{
		Format: packing.PlanFormat, Currency: k.P.Currency, Day: k.P.Day, Status: status(results),
		Orders: []packing.OrderPlan{}, Parcels: []packing.Parcel{}, StockUsed: []packing.Use{}, Rejected: []packing.Rejected{}, Warnings: []packing.Warning{},
	}
	used := k.used(results)
	seen := map[string]bool{}
	all := k.parcels(ctx, orders, results)
	of := map[*parcel.Order][]*written{}
	for _, w := range all {
		of[w.o] = append(of[w.o], w)
	}
	for _, r := range results {
		out.Orders = append(out.Orders, orderPlans(r, of[r.o])...)
	}
	slices.SortFunc(out.Orders, func(a, b packing.OrderPlan) int { return strings.Compare(a.ID, b.ID) })
	for _, op := range out.Orders {
		out.Total += op.Total
		if op.Parcels == 0 {
			out.Held++
			continue
		}
		out.Bound += op.Bound
	}
	for _, w := range all {
		out.Rejected = append(out.Rejected, w.rejected...)
		out.Parcels = append(out.Parcels, w.parcel)
		out.Warnings = k.warn(out.Warnings, w.pick.Offer, &w.parcel, seen)
	}
	for _, it := range k.Items {
		if n := used[it.Index]; n > 0 {
			out.StockUsed = append(out.StockUsed, packing.Use{Item: it.ID, Count: n})
		}
	}
	slices.SortFunc(out.Warnings, func(a, b packing.Warning) int {
		return strings.Compare(a.Card+"\x00"+a.Code+"\x00"+a.Text, b.Card+"\x00"+b.Code+"\x00"+b.Text)
	})
	return out
}

func status(results []*result) packing.Status {
	out := packing.Infeasible
	for _, r := range results {
		if !r.proven {
			return packing.NotProven
		}
		if r.split != nil {
			out = packing.Optimal
		}
	}
	return out
}

// orderPlans says what became of each order of a result. What a shared parcel costs is shared out over its orders,
// and so is what all of them cost at least, as their totals are.
func orderPlans(r *result, parcels []*written) []packing.OrderPlan {
	out, totals := make([]packing.OrderPlan, len(r.o.Members)), make([]int64, len(r.o.Members))
	for i, m := range r.o.Members {
		out[i] = packing.OrderPlan{ID: m.ID, Status: packing.Optimal, Reason: r.held[i].Reason, Sheet: r.held[i].Sheet}
	}
	for _, w := range parcels {
		ids, shares := w.parcel.SharesOf(w.parcel.Cost)
		for s, id := range ids {
			at := slices.IndexFunc(out, func(op packing.OrderPlan) bool { return op.ID == id })
			out[at].Parcels++
			out[at].Total += shares[s]
			totals[at] = out[at].Total
		}
	}
	bounds := totals
	if len(out) == 1 {
		bounds = []int64{r.bound}
	} else if r.split != nil && r.bound < r.split.Money {
		bounds = money.Shares(r.bound, totals)
	}
	for i := range out {
		out[i].Bound = bounds[i]
		switch {
		case !r.proven:
			out[i].Status = packing.NotProven
		case out[i].Parcels == 0:
			out[i].Status, out[i].Bound = packing.Infeasible, 0
		}
	}
	return out
}

// used counts the pieces of each item that all parcels take.
func (k *solver) used(results []*result) []int {
	out := make([]int, len(k.Items))
	for _, r := range results {
		for _, p := range r.split.Parcels() {
			for c := p.Final.Last; c != nil; c = c.Prev {
				out[c.Item.Index] += c.Count
			}
		}
	}
	return out
}

func (k *solver) warn(list []packing.Warning, of *means.Offer, p *packing.Parcel, seen map[string]bool) []packing.Warning {
	add := func(code, text string) {
		if code != "" && !seen[code+of.Card.ID] {
			seen[code+of.Card.ID] = true
			list = append(list, packing.Warning{Code: code, Text: text, Card: of.Card.ID})
		}
	}
	add(of.Card.Stale(k.P.Day))
	if of.Estimated {
		add("zone.estimated", "the zones of "+of.Card.Name()+" are estimated")
	}
	for _, l := range p.Lines {
		if l.OfCard() && l.Status != "primary" {
			add("card.status", of.Card.Name()+": prices that were not read in the operator's own text ("+l.Status+")")
		}
	}
	return list
}
