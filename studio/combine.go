package studio

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"solander/money"
	"solander/order"
	"solander/packing"
	"solander/packing/check"
)

// Orders of one buyer to one address may share parcels when the settings say so. The buyer is the same when the name
// is, the address when every field is, however it is spaced and whatever its capitals; nothing else is guessed.

// OrderIDs are the orders of a parcel, by id.
func (p Parcel) OrderIDs() []int64 {
	if len(p.Orders) > 0 {
		return p.Orders
	}
	return []int64{p.Order}
}

// Marks are those of its orders, ascending.
func (p Parcel) Marks() []string { return sharers(p.Plan) }

// With are the marks of its orders but one.
func (p Parcel) With(mark string) []string {
	return slices.DeleteFunc(slices.Clone(p.Marks()), func(m string) bool { return m == mark })
}

// With are the marks of orders with which the order shares planned parcels.
func (v PlanView) With() []string {
	var out []string
	for _, o := range v.Plan.Orders {
		if o.ID != v.Order.Mark {
			out = append(out, o.ID)
		}
	}
	return out
}

// Own is what the order bears of its plan: see Parcel.ShareOf.
func (v PlanView) Own() money.Amount {
	for _, o := range v.Plan.Orders {
		if o.ID == v.Order.Mark {
			return money.Of(o.Total, v.Plan.Currency)
		}
	}
	return money.Of(0, v.Plan.Currency)
}

// Sum is all of it.
func (s Sending) Sum() money.Amount {
	return money.Of(s.Packaging.Minor+s.Work.Minor+s.Postage.Minor, s.Postage.Currency)
}

// ShareOf is what an order, named by its mark, bears of an amount that was paid for the whole parcel: by the number of its
// prints in it, rounded down; what is left goes, a minor unit each, to the largest remainders, of equal ones to the lesser
// mark. The shares of all its orders add up to the amount.
func (p Parcel) ShareOf(mark string, whole money.Amount) money.Amount {
	marks, shares := p.Plan.SharesOf(whole.Minor)
	if at := slices.Index(marks, mark); at >= 0 {
		return money.Of(shares[at], whole.Currency)
	}
	return money.Of(0, whole.Currency)
}

// HasLabel reports whether the postage paid was noted, be it nothing.
func (p Parcel) HasLabel() bool { return p.State != Packed }

// Postage is what sending the whole parcel costs: as paid, or by the card while it has no label.
func (p Parcel) Postage() money.Amount {
	if p.HasLabel() {
		return p.Paid
	}
	return p.Estimated
}

// PostageOf is what an order, named by its mark, bears of Postage.
func (p Parcel) PostageOf(mark string) money.Amount { return p.ShareOf(mark, p.Postage()) }

// PostagePaid adds up what was paid for parcels. Faults: those of money.Sum.
func PostagePaid(parcels []Parcel) (money.Amount, error) {
	var paid []money.Amount
	for _, p := range parcels {
		paid = append(paid, p.Paid)
	}
	return money.Sum(paid...)
}

// sharing reads the orders of a parcel, the one it is named after first.
func (t *turn) sharing(p Parcel) ([]order.Order, error) {
	first, err := t.Order(p.Order)
	out := []order.Order{first}
	for _, id := range p.Orders {
		if err != nil || id == p.Order {
			continue
		}
		var o order.Order
		o, err = t.Order(id)
		out = append(out, o)
	}
	return out, err
}

// marksOf names orders: "S-1042 and S-1043".
func marksOf(orders []order.Order) string {
	var out []string
	for _, o := range orders {
		out = append(out, o.Mark)
	}
	slices.Sort(out)
	if n := len(out); n > 1 {
		return strings.Join(out[:n-1], ", ") + " and " + out[n-1]
	}
	return strings.Join(out, "")
}

// others are the orders but one.
func others(orders []order.Order, but int64) []order.Order {
	return slices.DeleteFunc(slices.Clone(orders), func(o order.Order) bool { return o.ID == but })
}

// tell notes something in the journals of all orders but one, and returns the marks.
func (t *turn) tell(orders []order.Order, but int64, text string, args ...any) ([]int64, error) {
	var told []int64
	for _, o := range others(orders, but) {
		id, err := t.mark(MarkOther, o.ID, nil, "%s %s", o.Mark, fmt.Sprintf(text, args...))
		if err != nil {
			return nil, err
		}
		told = append(told, id)
	}
	return told, nil
}

// untell takes such notes back with what they told of.
func (t *turn) untell(told []int64) error {
	for _, id := range told {
		if err := t.UndoMark(id); err != nil {
			return err
		}
	}
	return nil
}

// joinKey is equal for orders that may share parcels.
func (t *turn) joinKey(o order.Order) (string, error) {
	b, err := t.buyer(o.Buyer)
	a := o.ShipTo
	fields := []string{b.Name, a.Name, a.Line1, a.Line2, a.City, a.Region, a.Postcode, a.Country}
	for i, f := range fields {
		fields[i] = strings.ToLower(strings.Join(strings.Fields(f), " "))
	}
	return strings.Join(fields, "\x00"), err
}

// join puts the orders of a day into units: one order each, or those that may share parcels, by mark. keys is empty when
// none may.
func (a *dayAsk) join(keys []string) {
	byMark := make([]int, len(a.ids))
	for i := range byMark {
		byMark[i] = i
	}
	slices.SortFunc(byMark, func(i, j int) int { return strings.Compare(a.orders[i].ID, a.orders[j].ID) })
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
				a.orders[i].Combine = a.orders[unit[0]].ID
			}
		}
	}
}

// ordersOf returns the orders at some places.
func (a dayAsk) ordersOf(unit []int) []packing.Order {
	var out []packing.Order
	for _, i := range unit {
		out = append(out, a.orders[i])
	}
	return out
}

// idsOf returns the ids of orders named by marks, in that order.
func (a dayAsk) idsOf(marks []string) []int64 {
	out := make([]int64, len(marks))
	for i, m := range marks {
		out[i] = a.ids[a.place[m]]
	}
	return out
}

// leads reports whether the plan is counted with this order: a plan of several orders is counted once.
func (p dayPlan) leads(id int64) bool { return len(p.with) == 0 || p.with[0] == id }

// sharers are the orders of a planned parcel.
func sharers(p packing.Parcel) []string {
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
			all := sharers(p)
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
func partOf(q question, plan packing.Plan, marks []string) (question, packing.Plan) {
	if len(marks) == len(plan.Orders) {
		return q, plan
	}
	in := func(m string) bool { return slices.Contains(marks, m) }
	part := question{problem: q.problem, cards: q.cards, cut: q.cut}
	part.problem.Orders = nil
	for _, o := range q.problem.Orders {
		if in(o.ID) {
			part.problem.Orders = append(part.problem.Orders, o)
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
	whole := part.whole()
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
	for i, share := range packing.Shares(out.Bound, totals) {
		if out.Orders[i].Parcels > 0 {
			out.Orders[i].Bound = share
		}
	}
}

// usedInto counts the packaging of the parcels.
func usedInto(out *packing.Plan) {
	used := map[string]int{}
	for _, p := range out.Parcels {
		for item, n := range uses(p) {
			used[item] += n
		}
	}
	for item, n := range used {
		out.StockUsed = append(out.StockUsed, packing.Use{Item: item, Count: n})
	}
	slices.SortFunc(out.StockUsed, func(a, b packing.Use) int { return cmp.Compare(a.Item, b.Item) })
}
