package brute

import (
	"slices"
	"strings"

	"solander/packing"
)

// Plan is the best plan. It lists no rejected options, and its texts say little.
func (s *Search) Plan() packing.Plan {
	best := s.best()
	plan := packing.Plan{
		Format: packing.PlanFormat, Currency: s.problem.Currency, Day: s.problem.Day,
		Total: best.cost, Bound: best.cost, Held: best.held, Status: packing.Optimal,
	}
	if best.held == len(s.orders) {
		plan.Status = packing.Infeasible
	}
	for _, parcel := range best.parcels { // already by order, since these are ascending
		plan.Parcels = append(plan.Parcels, *parcel)
	}
	for _, o := range s.orders {
		plan.Orders = append(plan.Orders, s.order(o, best.parcels))
	}
	used := map[string]int{}
	for _, parcel := range best.parcels {
		for _, e := range parcel.Layers {
			used[e.Item] += e.Count
		}
	}
	for item, count := range used {
		plan.StockUsed = append(plan.StockUsed, packing.Use{Item: item, Count: count})
	}
	slices.SortFunc(plan.StockUsed, func(a, b packing.Use) int { return strings.Compare(a.Item, b.Item) })
	for _, w := range s.reckoner.Warnings(plan.Parcels) {
		w.Text = "see the card"
		plan.Warnings = append(plan.Warnings, w)
	}
	return plan
}

// order sums up what became of an order. A held order that could have gone alone is held by the stock;
// of another the reason is that of some option, not of the one that gets furthest.
func (s *Search) order(o *parts, parcels []*packing.Parcel) packing.OrderPlan {
	out := packing.OrderPlan{ID: o.order.ID, Status: packing.Optimal}
	for _, p := range parcels {
		if p.Order == o.order.ID {
			out.Total += p.Cost
			out.Parcels++
		}
	}
	out.Bound = out.Total
	if out.Parcels > 0 {
		return out
	}
	out.Status = packing.Infeasible
	reason := packing.Reason{Rule: "shelf.shared"}
	if len(o.whole) == 0 {
		reason = packing.Reason{Rule: "shelf.none"}
		for broken := range s.Reasons(o.order.ID, o.contents(len(o.single)-1)) {
			reason = broken
			break
		}
	}
	reason.Text = "it cannot go"
	out.Reason = &reason
	return out
}

// Fits reports whether any admissible parcel holds a copy of a sheet, alone or with others.
func (s *Search) Fits(order, sheet string) bool {
	o := s.of(order)
	for code := range o.single {
		if len(o.single[code]) > 0 && has(o.contents(code), sheet) {
			return true
		}
	}
	return false
}

// With is each way to put copies of a sheet into a parcel, alone or with others.
func (s *Search) With(order, sheet string) [][]packing.Content {
	o := s.of(order)
	var out [][]packing.Content
	for code := range o.single {
		if contents := o.contents(code); has(contents, sheet) {
			out = append(out, contents)
		}
	}
	return out
}

func has(contents []packing.Content, sheet string) bool {
	return slices.ContainsFunc(contents, func(c packing.Content) bool { return c.Sheet == sheet })
}

func (s *Search) of(order string) *parts {
	return s.orders[slices.IndexFunc(s.orders, func(o *parts) bool { return o.order.ID == order })]
}

// Contents is a whole order.
func (s *Search) Contents(order string) []packing.Content {
	o := s.of(order)
	return o.contents(len(o.single) - 1)
}

// Feasible reports whether an order can go when it need not share the stock.
func (s *Search) Feasible(order string) bool { return len(s.of(order).whole) > 0 }

// NoCard reports whether no price card holds on the day.
func (s *Search) NoCard() bool { return len(s.offers) == 0 }
