// Package setups plans the parcels of a day so that few different wraps are made: of plans that cost as much, or no more than the studio
// allows, arrive on the same days and protect the same, one with the fewest. It plans by package dayplan, and knows no store. What is
// asked of an order beyond the rules stays as it is kept, and where packaging is scarce nothing is moved.
package setups

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"solander/dayplan"
	"solander/fault"
	"solander/money"
	"solander/packing"
	"solander/packing/front"
)

// mostAsked is how many plans of orders are looked at; more than a day of the usual size needs.
const mostAsked = 600

// errAsked is that no more plans may be looked at.
var errAsked = errors.New("no more questions")

// Made is how many different wraps a day's parcels are made of, beside those that are made already.
type Made struct {
	Wraps int          `json:"wraps"`
	Plain int          `json:"plain"` // if every order went its cheapest way
	Least int          `json:"least"` // no plan within the money makes fewer
	More  money.Amount `json:"more"`  // than if every order went its cheapest way
}

// Text says it; "" when nothing was gained.
func (m Made) Text() string {
	if m.Wraps == m.Plain {
		return ""
	}
	text := fmt.Sprintf("%s to set up instead of %d", fault.Count(m.Wraps, "wrap"), m.Plain)
	if m.More.Sign() > 0 {
		text += ", for " + m.More.String() + " more"
	}
	if m.Least < m.Wraps {
		text += fmt.Sprintf("; fewer than %d are known to be too few, in between was not looked at", m.Least)
	}
	return text
}

// Of plans all orders of a day as Plans.Of does, with few different wraps. Faults: only when ctx ends.
func Of(ctx context.Context, c *dayplan.Plans, a dayplan.Ask) (map[int64]dayplan.Plan, Made, error) {
	plain, scarce, err := c.Kept(ctx, a)
	if err != nil || scarce || dayplan.Stopped(ctx) || len(a.Base.Wraps) > 64 {
		return plain, Made{}, err
	}
	d := day{ctx: dayplan.Quietly(ctx), plans: c, Ask: a, plain: plain, places: map[string]int{}}
	t := d.task()
	best, err := t.fewest()
	if err != nil {
		return nil, Made{}, err
	}
	made := Made{Wraps: best.new(t.ready), Least: best.least, More: money.Of(best.more, a.Base.Currency)}
	plainly := answer{by: t.ready}
	for _, u := range t.units {
		plainly.by |= u.used
	}
	if made.Plain = plainly.new(t.ready); made.Wraps == made.Plain {
		return plain, made, nil
	}
	out, scarce, err := c.Kept(dayplan.Quietly(ctx), a.WithoutWraps(d.names(t.all&^best.by)))
	if err != nil {
		return nil, Made{}, err
	}
	if scarce || !d.as(out) {
		made.Wraps, made.Least, made.More = made.Plain, min(made.Least, made.Plain), money.Of(0, a.Base.Currency)
		return plain, made, nil
	}
	return d.told(out, made), made, nil
}

// Together answers for one order as Plans.Together does, by the plan that Of makes of the day.
func Together(ctx context.Context, c *dayplan.Plans, id int64, one, all dayplan.Ask) (dayplan.Plan, error) {
	if !slices.Contains(all.Ids, id) {
		return c.Together(ctx, id, one, all)
	}
	plans, _, err := Of(ctx, c, all)
	return plans[id], err
}

// day is a day that is looked at.
type day struct {
	ctx   context.Context
	plans *dayplan.Plans
	dayplan.Ask
	plain  map[int64]dayplan.Plan
	places map[string]int // of the wraps
	leads  []int64        // of each unit the first order that goes
}

// task is the search for the day. Orders of which something is asked beyond the rules stay as they are, and what they are wrapped in is made anyway.
func (d *day) task() task {
	t := task{money: d.SetUps.Money, most: mostAsked, ask: d.ask}
	for i, w := range d.Base.Wraps {
		d.places[w.ID] = i
		t.all |= 1 << i
		if slices.Contains(d.SetUps.Ready, w.ID) {
			t.ready |= 1 << i
		}
	}
	for i, id := range d.Ids {
		p := d.plain[id]
		if !p.Leads(id) || !p.Goes() {
			continue
		}
		unit := unit{used: d.used(p.Plan.Parcels), cost: p.Plan.Total}
		if len(d.With(d.Orders[i].ID)) > len(p.With) || d.asked(p, id) || p.Plan.Status != packing.Optimal {
			t.ready |= unit.used
			continue
		}
		t.units, d.leads = append(t.units, unit), append(d.leads, id)
	}
	return t
}

// asked reports whether something is asked of an order or one that it goes with.
func (d *day) asked(p dayplan.Plan, id int64) bool {
	return slices.ContainsFunc(append(slices.Clone(p.With), id), func(of int64) bool {
		at := slices.Index(d.Ids, of)
		return d.Asked(d.Orders[at].ID) != front.Demand{} || d.plain[of].Unkept != ""
	})
}

func (d *day) used(parcels []packing.Parcel) set {
	var out set
	for _, p := range parcels {
		out |= 1 << d.places[p.Wrap]
	}
	return out
}

func (d *day) names(of set) []string {
	var out []string
	for i, w := range d.Base.Wraps {
		if of>>i&1 == 1 {
			out = append(out, w.ID)
		}
	}
	return out
}

// ask plans a unit by some wraps alone.
func (d *day) ask(at int, by set) (int64, bool, error) {
	id := d.leads[at]
	all := set(1)<<len(d.Base.Wraps) - 1
	plans, err := d.plans.OfUnit(d.ctx, d.WithoutWraps(d.names(all&^by)), d.Orders[slices.Index(d.Ids, id)].ID)
	if err != nil || !d.same(id, plans[id]) {
		return 0, false, err
	}
	return plans[id].Plan.Total, true, nil
}

// same reports whether an order goes as it went plainly but for money: proven, with the same orders, as soon, as well protected.
func (d *day) same(id int64, p dayplan.Plan) bool {
	was := d.plain[id]
	if !p.Goes() || p.Unkept != was.Unkept || !slices.Equal(p.With, was.With) || p.Plan.Status != packing.Optimal && was.Plan.Status == packing.Optimal {
		return false
	}
	return measured(p) == measured(was)
}

// measured is when an order arrives and how it is protected.
func measured(p dayplan.Plan) front.Measure {
	whole := p.Ask.Whole()
	m := front.MeasureOf(&whole, p.Plan.Parcels)
	m.Money = 0
	return m
}

// as reports whether the plans are those of the same day: the same orders go, as soon and as well protected, within the money.
func (d *day) as(out map[int64]dayplan.Plan) bool {
	for id, was := range d.plain {
		if now := out[id]; was.Goes() != now.Goes() || was.Goes() && !d.same(id, now) {
			return false
		}
	}
	was, _ := dayplan.SumOf(d.plain)
	now, _ := dayplan.SumOf(out)
	return now-was <= d.SetUps.Money
}

// told tells the orders that cost more why.
func (d *day) told(out map[int64]dayplan.Plan, m Made) map[int64]dayplan.Plan {
	for id, p := range out {
		if more := p.Plan.Total - d.plain[id].Plan.Total; p.Goes() && more > 0 {
			p.Shared = append(slices.Clone(p.Shared), fmt.Sprintf("it costs %s more than its cheapest plan, so that the day has fewer different wraps (%s)", money.Of(more, d.Base.Currency), m.Text()))
			out[id] = p
		}
	}
	return out
}
