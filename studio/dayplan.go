package studio

import (
	"context"
	"fmt"
	"slices"
	"sync/atomic"

	"solander/calendar"
	"solander/money"
	"solander/order"
	"solander/packing"
	"solander/tariff"
)

// dayAsk is what the plan of all orders of a day together starts from: the orders that may be packed.
type dayAsk struct {
	room   stockroom
	base   basis
	ids    []int64 // of the orders, in the order of their marks as the store gives them
	orders []packing.Order
	place  map[string]int // of an order in orders, by its mark
	units  [][]int        // places of orders that may share parcels, by mark; most orders are alone
}

// dayPlan is what the plan of a day gives one order and those with which it shares parcels. The problem of ask
// holds only the packaging that is left to them.
type dayPlan struct {
	ask    question
	plan   packing.Plan
	err    error
	with   []int64 // the orders of its parcels, itself among them, by mark
	shared []string
}

// held is why the order cannot go; "" when it goes.
func (p dayPlan) held() string { return heldIn(p.ask.problem, p.plan) }

// dayAsk reads the orders that may be packed on a day; the zero day is today. change may alter what is on
// the shelf.
func (s *Studio) dayAsk(t *turn, day calendar.Day, change func(*stockroom)) (dayAsk, error) {
	d, err := t.drawer()
	if err != nil {
		return dayAsk{}, err
	}
	return s.dayAskOf(t, d, day, change)
}

func (s *Studio) dayAskOf(t *turn, d *drawer, day calendar.Day, change func(*stockroom)) (dayAsk, error) {
	r, err := s.stockroom(t)
	if err != nil {
		return dayAsk{}, err
	}
	if change != nil {
		change(&r)
	}
	day = t.handOverDay(day)
	base, err := newBasis(t.base(r, day), cardsFor(r.cards, t.set, day))
	if err != nil {
		return dayAsk{}, err
	}
	a := dayAsk{room: r, base: base, place: map[string]int{}}
	var keys []string
	for _, o := range d.orders {
		lines, err := toPack(o)
		if err != nil || o.MayLeave() != nil || !allIn(lines, d.sheets.Has) {
			continue // the bench shows it in another group
		}
		po, err := t.packingOrder(o, lines, day)
		if err != nil {
			return a, err
		}
		a.place[po.ID] = len(a.orders)
		a.ids, a.orders = append(a.ids, o.ID), append(a.orders, po)
		if t.set.Combine {
			key, err := t.joinKey(o)
			if err != nil {
				return a, err
			}
			keys = append(keys, key)
		}
	}
	a.join(keys)
	return a, nil
}

// asked asks for an order alone and, when it may be packed, for all orders of its day.
func (s *Studio) asked(t *turn, o order.Order, lines []order.Line, day calendar.Day) (one question, all dayAsk, err error) {
	if all, err = s.dayAsk(t, day, nil); err != nil {
		return one, all, err
	}
	one, err = t.question(all.room, o, lines, t.handOverDay(day))
	return one, all, err
}

// together answers for one order: by the plan of the day when it is among its orders, else alone.
func (c *planCache) together(ctx context.Context, id int64, one question, all dayAsk) (dayPlan, error) {
	if slices.Contains(all.ids, id) {
		plans, err := c.dayPlans(ctx, all)
		return plans[id], err
	}
	plan, err := c.answer(ctx, one)
	if ctx.Err() != nil {
		return dayPlan{}, ctx.Err()
	}
	return dayPlan{ask: one, plan: plan, err: err}, nil
}

// dayPlans plans all orders of a day so that scarce packaging serves them best together: fewest are held,
// then the sum costs least. Orders are planned alone first. Only where these plans together take more of an
// item than there is are all planned as one problem, and each order is then answered with what that plan
// leaves to it. An order that cannot go stops no other. Faults: only when ctx ends.
func (c *planCache) dayPlans(ctx context.Context, a dayAsk) (map[int64]dayPlan, error) {
	c.room(len(a.ids))
	out, err := c.eachAlone(ctx, a)
	if err != nil {
		return nil, err
	}
	scarce := a.overdrawn(out, nil)
	if len(scarce) == 0 {
		return out, nil
	}
	joint, err := c.joint(quietly(ctx), a, out)
	if ctx.Err() != nil {
		return nil, ctx.Err()
	}
	if err != nil || stopped(ctx) {
		return a.unshared(out, scarce), nil // each is told alone: packing one changes what is left to the next
	}
	uses := usesByOrder(joint)
	scarce = a.overdrawn(out, scarce)
	for range a.base.Shelf {
		given, err := c.give(quietly(ctx), a, out, joint, uses, scarce)
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
func (c *planCache) eachAlone(ctx context.Context, a dayAsk) (map[int64]dayPlan, error) {
	got := make([]dayPlan, len(a.ids))
	each, tell := ctx, searchOf(ctx).tell
	if len(a.units) > 1 {
		each = quietly(ctx)
	}
	var done atomic.Int64
	err := sideBySide(ctx, len(a.units), func(u int) error {
		err := c.planUnit(each, a, a.base, a.units[u], got)
		if n := done.Add(1); len(a.units) > 1 && err == nil {
			tell.say(int(n), len(a.units))
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	return a.byID(got), nil
}

func (a dayAsk) byID(got []dayPlan) map[int64]dayPlan {
	out := make(map[int64]dayPlan, len(got))
	for i, id := range a.ids {
		out[id] = got[i]
	}
	return out
}

// planUnit plans orders that may share parcels, and puts on each what concerns it. When they cannot be planned
// together, each is planned by itself.
func (c *planCache) planUnit(ctx context.Context, a dayAsk, base basis, unit []int, got []dayPlan) error {
	q, err := base.alone(a.ordersOf(unit)...)
	if err != nil {
		return err
	}
	plan, err := c.answer(ctx, q)
	if err != nil && len(unit) > 1 && ctx.Err() == nil {
		for _, i := range unit {
			if err := c.planUnit(ctx, a, base, []int{i}, got); err != nil {
				return err
			}
		}
		return nil
	}
	for _, i := range unit {
		got[i] = dayPlan{ask: q, plan: plan, err: err}
		if err == nil {
			with := company(plan, a.orders[i].ID)
			got[i].ask, got[i].plan = partOf(q, plan, with)
			got[i].with = a.idsOf(with)
		}
	}
	return nil
}

// overdrawn returns the items of which plans together take more than there are, beside those known.
func (a dayAsk) overdrawn(plans map[int64]dayPlan, known map[string]bool) map[string]bool {
	used := map[string]int{}
	for id, p := range plans {
		if !p.leads(id) {
			continue
		}
		for _, u := range p.plan.StockUsed {
			used[u.Item] += u.Count
		}
	}
	out := map[string]bool{}
	for id := range known {
		out[id] = true
	}
	for _, it := range a.base.Shelf {
		if it.Stock != nil && used[it.ID] > *it.Stock {
			out[it.ID] = true
		}
	}
	return out
}

// joint plans as one problem all orders that can go alone.
func (c *planCache) joint(ctx context.Context, a dayAsk, plans map[int64]dayPlan) (packing.Plan, error) {
	var orders []packing.Order
	for i, id := range a.ids {
		if plans[id].err == nil && plans[id].held() == "" {
			orders = append(orders, a.orders[i])
		}
	}
	base, none := a.base, 0
	base.Options.RejectedMost = &none // give answers each order again, with its own list
	q, err := base.ask(orders, func(c tariff.Card) tariff.Card { return c })
	if err != nil {
		return packing.Plan{}, err
	}
	return c.answer(ctx, q)
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
func (c *planCache) give(ctx context.Context, a dayAsk, plans map[int64]dayPlan, joint packing.Plan, uses map[string]map[string]int, scarce map[string]bool) (map[int64]dayPlan, error) {
	held := map[string]packing.OrderPlan{}
	for _, o := range joint.Orders {
		if o.Parcels == 0 {
			held[o.ID] = o
		}
	}
	got := make([]dayPlan, len(a.ids))
	err := sideBySide(ctx, len(a.units), func(u int) error {
		base := a.base
		base.Shelf = slices.Clone(base.Shelf)
		for j, it := range base.Shelf {
			own := 0
			for _, i := range a.units[u] {
				own += uses[a.orders[i].ID][it.ID]
			}
			if scarce[it.ID] {
				base.Shelf[j].Stock = &own
			}
		}
		var goes []int
		for _, i := range a.units[u] {
			was := plans[a.ids[i]]
			o, no := held[a.orders[i].ID]
			switch {
			case was.err != nil || was.held() != "":
				got[i] = was
			case no:
				q, err := base.alone(a.orders[i])
				if err != nil {
					return err
				}
				got[i] = dayPlan{ask: q, plan: heldPlan(joint, o)}
				got[i].shared = a.sharedWith(was, got[i], scarce)
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
			got[i].shared = a.sharedWith(plans[a.ids[i]], got[i], scarce)
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
func (a dayAsk) unshared(plans map[int64]dayPlan, scarce map[string]bool) map[int64]dayPlan {
	for id, p := range plans {
		for _, u := range p.plan.StockUsed {
			if scarce[u.Item] {
				p.shared = append(p.shared, fmt.Sprintf("the orders of the day would take more of %s than there are (%d), and planning ended before it was shared out; this order is planned as if it were alone", a.named(u.Item), a.room.left[u.Item]))
			}
		}
		plans[id] = p
	}
	return plans
}

// sharedWith says what an order gives up so that the orders of the day together cost least.
func (a dayAsk) sharedWith(alone, got dayPlan, scarce map[string]bool) []string {
	var out []string
	for _, u := range alone.plan.StockUsed {
		had := 0
		for _, g := range got.plan.StockUsed {
			if g.Item == u.Item {
				had = g.Count
			}
		}
		if !scarce[u.Item] || had >= u.Count {
			continue
		}
		text := fmt.Sprintf("the orders of the day would take more of %s than there are (%d), and others need it more", a.named(u.Item), a.room.left[u.Item])
		if got.held() == "" && got.err == nil && slices.Equal(got.with, alone.with) && got.plan.Total > alone.plan.Total {
			text += "; alone this order would cost " + money.Of(alone.plan.Total, alone.plan.Currency).String()
		}
		out = append(out, text)
	}
	return out
}

func (a dayAsk) named(item string) string {
	for _, it := range a.base.Shelf {
		if it.ID == item && it.Name != "" {
			return it.Name
		}
	}
	return item
}
