// Package dayplan plans the parcels of a day: which orders go together, what is scarce, and how that is shared out. It knows
// orders, packaging and price cards as the planner sees them, and no store.
package dayplan

import (
	"context"
	"crypto/sha256"
	"fmt"
	"slices"
	"sync/atomic"

	"solander/money"
	"solander/packing"
	"solander/tariff"
)

// Ask is what the plan of all orders of a day together starts from: the orders that may be packed.
type Ask struct {
	Room   Means
	Base   basis
	Ids    []int64 // of the orders, in the order of their marks as the store gives them
	Orders []packing.Order
	Place  map[string]int // of an order in orders, by its mark
	SetUps SetUps
	units  [][]int // places of orders that may share parcels, by mark; most orders are alone
}

// SetUps says what a day may cost more, in minor units, so that fewer different wraps are made, and of which some are made already.
type SetUps struct {
	Money int64
	Ready []string
}

// Plan is what the plan of a day gives one order and those with which it shares parcels. The problem of ask
// holds only the packaging that is left to them.
type Plan struct {
	Ask    Question
	Plan   packing.Plan
	Err    error
	With   []int64 // the orders of its parcels, itself among them, by mark
	Shared []string
	Unkept string // why what was asked of the order beyond the rules is not kept; "" = it is, or nothing was
}

// Held is why the order cannot go; "" when it goes.
func (p Plan) Held() string { return HeldIn(p.Ask.Problem, p.Plan) }

// Together answers for one order: by the plan of the day when it is among its orders, else by that of one, which holds it alone.
func (c *Plans) Together(ctx context.Context, id int64, one, all Ask) (Plan, error) {
	if !slices.Contains(all.Ids, id) {
		all = one
	}
	plans, err := c.Of(ctx, all)
	return plans[id], err
}

// On is the digest of everything from which Together answers: the same digest, the same plan.
func On(id int64, one, all Ask) (Digest, error) {
	if !slices.Contains(all.Ids, id) {
		q, err := one.Base.Alone(one.Orders...)
		return q.key, err
	}
	q, err := all.Base.ask(all.Orders, nil)
	return sha256.Sum256(fmt.Appendf(q.key[:], "%d %q", all.SetUps.Money, all.SetUps.Ready)), err
}

// Of plans all orders of a day so that scarce packaging serves them best together: fewest are held, then the sum costs least. What is
// asked of an order beyond the rules is kept while it can be; else the order is planned without, and told so. An order that cannot go
// stops no other. Faults: only when ctx ends.
func (c *Plans) Of(ctx context.Context, a Ask) (map[int64]Plan, error) {
	plans, _, err := c.Kept(ctx, a)
	return plans, err
}

// planDay plans all orders of a day with what is asked of them. Orders are planned alone first. Only where these plans together take
// more of an item than there is are all planned as one problem, and each order is then answered with what that plan leaves to it:
// scarce reports that.
func (c *Plans) planDay(ctx context.Context, a Ask) (plans map[int64]Plan, scarce bool, err error) {
	c.Hold(len(a.Ids))
	out, err := c.eachAlone(ctx, a)
	if err != nil {
		return nil, false, err
	}
	over := a.overdrawn(out, nil)
	if len(over) == 0 {
		return out, false, nil
	}
	plans, err = c.shareOut(ctx, a, out, over)
	return plans, true, err
}

// shareOut gives each order its part of what is scarce.
func (c *Plans) shareOut(ctx context.Context, a Ask, out map[int64]Plan, scarce map[string]bool) (map[int64]Plan, error) {
	joint, err := c.joint(Quietly(ctx), a, out)
	if ctx.Err() != nil {
		return nil, ctx.Err()
	}
	if err != nil || Stopped(ctx) {
		return a.unshared(out, scarce), nil // each is told alone: packing one changes what is left to the next
	}
	uses := usesByOrder(joint)
	scarce = a.overdrawn(out, scarce)
	for range a.Base.Shelf {
		given, err := c.give(Quietly(ctx), a, out, joint, uses, scarce)
		if err != nil {
			return nil, err
		}
		more := a.overdrawn(given, nil)
		if len(more) == 0 {
			return given, nil
		}
		for id := range more {
			scarce[id] = true
		}
	}
	return out, nil
}

// eachAlone plans every order, with those that may share its parcels, as if it had the shelf to itself.
func (c *Plans) eachAlone(ctx context.Context, a Ask) (map[int64]Plan, error) {
	got := make([]Plan, len(a.Ids))
	each, tell := ctx, SearchIn(ctx).tell
	if len(a.units) > 1 {
		each = Quietly(ctx)
	}
	var done atomic.Int64
	err := SideBySide(ctx, len(a.units), func(u int) error {
		err := c.planUnit(each, a, a.Base, a.units[u], got)
		if n := done.Add(1); len(a.units) > 1 && err == nil {
			tell.Say(int(n), len(a.units))
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	return a.byID(got), nil
}

func (a Ask) byID(got []Plan) map[int64]Plan {
	out := make(map[int64]Plan, len(got))
	for i, id := range a.Ids {
		out[id] = got[i]
	}
	return out
}

// planUnit plans orders that may share parcels, and puts on each what concerns it. When they cannot be planned
// together, each is planned by itself.
func (c *Plans) planUnit(ctx context.Context, a Ask, base basis, unit []int, got []Plan) error {
	q, err := base.Alone(a.ordersOf(unit)...)
	if err != nil {
		return err
	}
	plan, err := c.Answer(ctx, q)
	if err != nil && len(unit) > 1 && ctx.Err() == nil {
		for _, i := range unit {
			if err := c.planUnit(ctx, a, base, []int{i}, got); err != nil {
				return err
			}
		}
		return nil
	}
	for _, i := range unit {
		got[i] = Plan{Ask: q, Plan: plan, Err: err}
		if err == nil {
			with := company(plan, a.Orders[i].ID)
			got[i].Ask, got[i].Plan = partOf(q, plan, with)
			got[i].With = a.idsOf(with)
		}
	}
	return nil
}

// overdrawn returns the items of which plans together take more than there are, beside those known.
func (a Ask) overdrawn(plans map[int64]Plan, known map[string]bool) map[string]bool {
	used := map[string]int{}
	for id, p := range plans {
		if !p.Leads(id) {
			continue
		}
		for _, u := range p.Plan.StockUsed {
			used[u.Item] += u.Count
		}
	}
	out := map[string]bool{}
	for id := range known {
		out[id] = true
	}
	for _, it := range a.Base.Shelf {
		if it.Stock != nil && used[it.ID] > *it.Stock {
			out[it.ID] = true
		}
	}
	return out
}

// joint plans as one problem all orders that can go alone.
func (c *Plans) joint(ctx context.Context, a Ask, plans map[int64]Plan) (packing.Plan, error) {
	var orders []packing.Order
	for i, id := range a.Ids {
		if plans[id].Err == nil && plans[id].Held() == "" {
			orders = append(orders, a.Orders[i])
		}
	}
	base, none := a.Base, 0
	base.Options.RejectedMost = &none // give answers each order again, with its own list
	q, err := base.ask(orders, func(c tariff.Card) tariff.Card { return c })
	if err != nil {
		return packing.Plan{}, err
	}
	return c.Answer(ctx, q)
}

// usesByOrder counts the pieces that a plan gives each order, by its mark; those of a shared parcel count with its first.
func usesByOrder(plan packing.Plan) map[string]map[string]int {
	out := map[string]map[string]int{}
	for _, p := range plan.Parcels {
		if out[p.Order] == nil {
			out[p.Order] = map[string]int{}
		}
		for _, l := range p.Layers {
			out[p.Order][l.Item] += l.Count
		}
	}
	return out
}

// give answers each order with what the joint plan leaves to it: of scarce items its own share, of others
// all there are. One that the joint plan holds keeps that plan's reason.
func (c *Plans) give(ctx context.Context, a Ask, plans map[int64]Plan, joint packing.Plan, uses map[string]map[string]int, scarce map[string]bool) (map[int64]Plan, error) {
	held := map[string]packing.OrderPlan{}
	for _, o := range joint.Orders {
		if o.Parcels == 0 {
			held[o.ID] = o
		}
	}
	got := make([]Plan, len(a.Ids))
	err := SideBySide(ctx, len(a.units), func(u int) error {
		base := a.Base
		base.Shelf = slices.Clone(base.Shelf)
		for j, it := range base.Shelf {
			own := 0
			for _, i := range a.units[u] {
				own += uses[a.Orders[i].ID][it.ID]
			}
			if scarce[it.ID] {
				base.Shelf[j].Stock = &own
			}
		}
		var goes []int
		for _, i := range a.units[u] {
			was := plans[a.Ids[i]]
			o, no := held[a.Orders[i].ID]
			switch {
			case was.Err != nil || was.Held() != "":
				got[i] = was
			case no:
				q, err := base.Alone(a.Orders[i])
				if err != nil {
					return err
				}
				got[i] = Plan{Ask: q, Plan: heldPlan(joint, o)}
				got[i].Shared = a.sharedWith(was, got[i], scarce)
			default:
				goes = append(goes, i)
			}
		}
		if len(goes) == 0 {
			return nil
		}
		if err := c.planUnit(ctx, a, base, goes, got); err != nil {
			return err
		}
		for _, i := range goes {
			got[i].Shared = a.sharedWith(plans[a.Ids[i]], got[i], scarce)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	return a.byID(got), nil
}

// heldPlan is the plan of one order that a joint plan holds.
func heldPlan(joint packing.Plan, o packing.OrderPlan) packing.Plan {
	return packing.Plan{
		Format: packing.PlanFormat, Status: o.Status, Currency: joint.Currency, Day: joint.Day, Held: 1,
		Orders: []packing.OrderPlan{o}, Warnings: joint.Warnings,
	}
}

// unshared tells every order that takes scarce packaging that it was not shared out.
func (a Ask) unshared(plans map[int64]Plan, scarce map[string]bool) map[int64]Plan {
	for id, p := range plans {
		for _, u := range p.Plan.StockUsed {
			if scarce[u.Item] {
				p.Shared = append(p.Shared, fmt.Sprintf("the orders of the day would take more of %s than there are (%d), and planning ended before it was shared out; this order is planned as if it were alone", a.named(u.Item), a.Room.Left[u.Item]))
			}
		}
		plans[id] = p
	}
	return plans
}

// sharedWith says what an order gives up so that the orders of the day together cost least.
func (a Ask) sharedWith(alone, got Plan, scarce map[string]bool) []string {
	var out []string
	for _, u := range alone.Plan.StockUsed {
		had := 0
		for _, g := range got.Plan.StockUsed {
			if g.Item == u.Item {
				had = g.Count
			}
		}
		if !scarce[u.Item] || had >= u.Count {
			continue
		}
		text := fmt.Sprintf("the orders of the day would take more of %s than there are (%d), and others need it more", a.named(u.Item), a.Room.Left[u.Item])
		if got.Held() == "" && got.Err == nil && slices.Equal(got.With, alone.With) && got.Plan.Total > alone.Plan.Total {
			text += "; alone this order would cost " + money.Of(alone.Plan.Total, alone.Plan.Currency).String()
		}
		out = append(out, text)
	}
	return out
}

func (a Ask) named(item string) string {
	for _, it := range a.Base.Shelf {
		if it.ID == item && it.Name != "" {
			return it.Name
		}
	}
	return item
}
