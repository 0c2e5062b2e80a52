package brute

import (
	"cmp"
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
	if best.held == len(s.problem.Orders) {
		plan.Status = packing.Infeasible
	}
	for _, parcel := range best.parcels {
		plan.Parcels = append(plan.Parcels, *parcel)
	}
	slices.SortStableFunc(plan.Parcels, func(a, b packing.Parcel) int { return strings.Compare(a.Order, b.Order) })
	for _, p := range s.orders {
		for _, o := range p.orders {
			plan.Orders = append(plan.Orders, s.order(p, o, best.parcels))
		}
	}
	slices.SortFunc(plan.Orders, func(a, b packing.OrderPlan) int { return strings.Compare(a.ID, b.ID) })
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

// order sums up what became of an order. A held order that could have gone is held by the stock;
// of another the reason is that of some option, not of the one that gets furthest.
func (s *Search) order(p *parts, o *packing.Order, parcels []*packing.Parcel) packing.OrderPlan {
	out := packing.OrderPlan{ID: o.ID, Status: packing.Optimal}
	for _, p := range parcels {
		if share, in := shareOf(p, o.ID); in {
			out.Total += share
			out.Parcels++
		}
	}
	out.Bound = out.Total
	if out.Parcels > 0 {
		return out
	}
	out.Status = packing.Infeasible
	reason := packing.Reason{Rule: "shelf.shared"}
	if !p.able[o.ID] {
		reason = packing.Reason{Rule: "shelf.none"}
		for broken := range s.Reasons(s.Contents(o.ID)) {
			reason = broken
			break
		}
	}
	reason.Text = "it cannot go"
	out.Reason = &reason
	return out
}

// shareOf deals a parcel's cost out to its orders: cent by cent, always to the order that has least for what it has in
// the parcel. That is the rule of the largest remainders when it is dealt from the parts rounded down.
func shareOf(p *packing.Parcel, order string) (share int64, in bool) {
	var ids []string
	copies, all := map[string]int64{}, int64(0)
	for _, c := range p.Contents {
		if copies[c.Order] == 0 {
			ids = append(ids, c.Order)
		}
		copies[c.Order] += int64(c.Copies)
		all += int64(c.Copies)
	}
	slices.Sort(ids)
	dealt, left := map[string]int64{}, p.Cost
	for _, id := range ids {
		dealt[id] = p.Cost * copies[id] / all
		left -= dealt[id]
	}
	short := func(id string) int64 { return p.Cost*copies[id] - dealt[id]*all }
	for ; left > 0; left-- {
		next := slices.MaxFunc(ids, func(a, b string) int { return cmp.Or(cmp.Compare(short(a), short(b)), cmp.Compare(b, a)) })
		dealt[next]++
	}
	return dealt[order], copies[order] > 0
}

// Fits reports whether any admissible parcel holds a copy of a sheet, alone or with others.
func (s *Search) Fits(order, sheet string) bool {
	o := s.of(order)
	for code := range o.single {
		if len(o.single[code]) > 0 && has(o.contents(code), order, sheet) {
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
		if contents := o.contents(code); has(contents, order, sheet) {
			out = append(out, contents)
		}
	}
	return out
}

func has(contents []packing.Content, order, sheet string) bool {
	return slices.ContainsFunc(contents, func(c packing.Content) bool { return c.Order == order && c.Sheet == sheet })
}

func (s *Search) of(order string) *parts {
	return s.orders[slices.IndexFunc(s.orders, func(o *parts) bool { return o.at(order) >= 0 })]
}

// Contents is a whole order.
func (s *Search) Contents(order string) []packing.Content {
	o := s.of(order)
	return o.contents(o.all(1 << o.at(order)))
}

func (p *parts) at(order string) int {
	return slices.IndexFunc(p.orders, func(o *packing.Order) bool { return o.ID == order })
}

// Feasible reports whether an order can go, alone or with those that may share its parcels, when it need not
// share the stock with others.
func (s *Search) Feasible(order string) bool { return s.of(order).able[order] }

// NoCard reports whether no price card holds on the day.
func (s *Search) NoCard() bool { return len(s.offers) == 0 }
