package dayplan

import (
	"cmp"
	"slices"
	"strings"

	"solander/money"
	"solander/packing"
	"solander/packing/check"
	"solander/packing/front"
)

// Add puts an order into the day, with what is asked of it beyond the rules.
func (a *Ask) Add(id int64, o packing.Order, d front.Demand) {
	if a.Place == nil {
		a.Place = map[string]int{}
	}
	a.Place[o.ID] = len(a.Orders)
	a.Ids, a.Orders = append(a.Ids, id), append(a.Orders, o)
	if d != (front.Demand{}) {
		a.Base = a.Base.asking(map[string]front.Demand{o.ID: d})
	}
}

// Join puts the orders of a day into units: one order each, or those that may share parcels, by mark. keys is empty when
// none may.
func (a *Ask) Join(keys []string) {
	byMark := make([]int, len(a.Ids))
	for i := range byMark {
		byMark[i] = i
	}
	slices.SortFunc(byMark, func(i, j int) int { return strings.Compare(a.Orders[i].ID, a.Orders[j].ID) })
	at := map[string]int{}
	for _, i := range byMark {
		if len(keys) == 0 {
			a.units = append(a.units, []int{i})
			continue
		}
		u, known := at[keys[i]]
		if !known || len(a.units[u]) == packing.MostJoint {
			at[keys[i]] = len(a.units)
			a.units = append(a.units, []int{i})
			continue
		}
		a.units[u] = append(a.units[u], i)
	}
	for _, unit := range a.units {
		for _, i := range unit {
			if len(unit) > 1 {
				a.Orders[i].Combine = a.Orders[unit[0]].ID
			}
		}
	}
}

// ordersOf returns the orders at some places.
func (a Ask) ordersOf(unit []int) []packing.Order {
	var out []packing.Order
	for _, i := range unit {
		out = append(out, a.Orders[i])
	}
	return out
}

// idsOf returns the ids of orders named by marks, in that order.
func (a Ask) idsOf(marks []string) []int64 {
	out := make([]int64, len(marks))
	for i, m := range marks {
		out[i] = a.Ids[a.Place[m]]
	}
	return out
}

// Leads reports whether the plan is counted with this order: a plan of several orders is counted once.
func (p Plan) Leads(id int64) bool { return len(p.With) == 0 || p.With[0] == id }

// Sharers are the orders of a planned parcel.
func Sharers(p packing.Parcel) []string {
	if len(p.Orders) > 0 {
		return p.Orders
	}
	return []string{p.Order}
}

// company returns the marks, ascending, of an order and all with which its parcels, or theirs, are shared.
func company(plan packing.Plan, mark string) []string {
	with := []string{mark}
	for grown := true; grown; {
		grown = false
		for _, p := range plan.Parcels {
			all := Sharers(p)
			if !slices.ContainsFunc(all, func(m string) bool { return slices.Contains(with, m) }) {
				continue
			}
			for _, m := range all {
				if !slices.Contains(with, m) {
					with, grown = append(with, m), true
				}
			}
		}
	}
	slices.Sort(with)
	return with
}

// partOf is what of a plan concerns some orders that share parcels with no others, with the problem of these alone.
func partOf(q Question, plan packing.Plan, marks []string) (Question, packing.Plan) {
	if len(marks) == len(plan.Orders) {
		return q, plan
	}
	in := func(m string) bool { return slices.Contains(marks, m) }
	part := Question{Problem: q.Problem, cards: q.cards, cut: q.cut}
	part.Problem.Orders = nil
	for _, o := range q.Problem.Orders {
		if in(o.ID) {
			part.Problem.Orders = append(part.Problem.Orders, o)
		}
	}
	out := packing.Plan{Format: plan.Format, Status: packing.Infeasible, Currency: plan.Currency, Day: plan.Day}
	place := map[int]int{}
	for i, p := range plan.Parcels {
		if in(p.Order) {
			place[i] = len(out.Parcels)
			out.Parcels, out.Total = append(out.Parcels, p), out.Total+p.Cost
		}
	}
	for _, r := range plan.Rejected {
		if at, ok := place[r.Parcel]; ok {
			r.Parcel = at
			out.Rejected = append(out.Rejected, r)
		}
	}
	ordersInto(&out, plan, in)
	usedInto(&out)
	whole := part.Whole()
	must := check.NewReckoner(&whole).Warnings(out.Parcels)
	for _, w := range plan.Warnings {
		if slices.Contains(must, packing.Warning{Code: w.Code, Card: w.Card}) {
			out.Warnings = append(out.Warnings, w)
		}
	}
	return part, out
}

// ordersInto adds what became of the orders. What all orders together could cost less, these could at most: so much
// of their total is the bound.
func ordersInto(out *packing.Plan, plan packing.Plan, in func(string) bool) {
	var totals []int64
	for _, o := range plan.Orders {
		if !in(o.ID) {
			continue
		}
		out.Orders, totals = append(out.Orders, o), append(totals, o.Total)
		switch {
		case o.Parcels == 0:
			out.Held++
		case out.Status == packing.Infeasible:
			out.Status = packing.Optimal
		}
		if o.Status == packing.NotProven {
			out.Status = packing.NotProven
		}
	}
	out.Bound = out.Total
	if out.Status == packing.NotProven {
		out.Bound = max(0, out.Total-(plan.Total-plan.Bound))
	}
	for i, share := range money.Shares(out.Bound, totals) {
		if out.Orders[i].Parcels > 0 {
			out.Orders[i].Bound = share
		}
	}
}

// usedInto counts the packaging of the parcels.
func usedInto(out *packing.Plan) {
	used := map[string]int{}
	for _, p := range out.Parcels {
		for item, n := range Uses(p) {
			used[item] += n
		}
	}
	for item, n := range used {
		out.StockUsed = append(out.StockUsed, packing.Use{Item: item, Count: n})
	}
	slices.SortFunc(out.StockUsed, func(a, b packing.Use) int { return cmp.Compare(a.Item, b.Item) })
}
