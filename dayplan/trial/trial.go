// Package trial plans an order as its day would be planned if something more were asked of it. It knows no store, and nothing is kept.
package trial

import (
	"context"
	"slices"

	"solander/dayplan"
	"solander/packing"
	"solander/packing/front"
)

// Trial plans an order, with those that it may share parcels with, as the day would be planned if something were asked of them: by the
// same function as the day itself.
type Trial struct {
	Day    dayplan.Ask
	Marks  []string // of the orders, by mark: the demand is on all of them
	plans  *dayplan.Plans
	ids    []int64 // of the orders, by mark
	shared bool
	others map[string]int // pieces of each item that the plans of all other orders take
	tried  map[front.Demand]Tried
}

// Tried is what becomes of the orders of a trial.
type Tried struct {
	front.Measure
	Problem packing.Problem // of the first of the orders, with its cards
	Parcels []packing.Parcel
	Goes    bool
	Proven  bool // no way that keeps the demand costs less
}

// Of begins trials of an order: among the orders of the day when it is one of them, else alone. What is asked of the order now is left out
// of them. Faults: only when ctx ends.
func Of(ctx context.Context, plans *dayplan.Plans, id int64, one, all dayplan.Ask) (*Trial, error) {
	t := &Trial{Day: all, plans: plans, others: map[string]int{}, tried: map[front.Demand]Tried{}}
	at := slices.Index(all.Ids, id)
	if at < 0 {
		t.Day, at = one, 0
	}
	t.Marks = t.Day.With(t.Day.Orders[at].ID)
	for _, m := range t.Marks {
		t.ids = append(t.ids, t.Day.Ids[t.Day.Place[m]])
	}
	t.Day = t.Day.Asking(front.Demand{}, t.Marks...)
	now, shared, err := plans.Kept(dayplan.Quietly(ctx), t.Day)
	if err != nil {
		return nil, err
	}
	t.shared = shared
	for id, p := range now {
		if !p.Leads(id) || slices.Contains(t.ids, id) {
			continue
		}
		for _, u := range p.Plan.StockUsed {
			t.others[u.Item] += u.Count
		}
	}
	return t, nil
}

// With is what becomes of the orders when something is asked of them. Faults: only when ctx ends.
func (t *Trial) With(ctx context.Context, d front.Demand) (Tried, error) {
	if known, ok := t.tried[d]; ok {
		return known, nil
	}
	out, err := t.with(dayplan.Quietly(ctx), d)
	if err == nil && ctx.Err() == nil && !dayplan.Stopped(ctx) {
		t.tried[d] = out
	}
	return out, err
}

func (t *Trial) with(ctx context.Context, d front.Demand) (Tried, error) {
	day := t.Day.Asking(d, t.Marks...)
	if !d.ArriveBy.IsZero() && d.ArriveBy.Before(day.Base.Day) {
		return Tried{}, nil
	}
	if !t.shared {
		plans, err := t.plans.OfUnit(ctx, day, t.Marks[0])
		if err != nil {
			return Tried{}, err
		}
		if !t.overdrawn(plans) {
			return measured(plans, t.ids), nil
		}
	}
	plans, _, err := t.plans.Kept(ctx, day)
	if err != nil {
		return Tried{}, err
	}
	return measured(plans, t.ids), nil
}

// overdrawn reports whether the orders and all others together would take more of an item than there is: then nothing is as if they were alone.
func (t *Trial) overdrawn(plans map[int64]dayplan.Plan) bool {
	used := map[string]int{}
	for id, p := range plans {
		if p.Leads(id) {
			for _, u := range p.Plan.StockUsed {
				used[u.Item] += u.Count
			}
		}
	}
	return slices.ContainsFunc(t.Day.Base.Shelf, func(it packing.Item) bool {
		return it.Stock != nil && used[it.ID] > 0 && used[it.ID]+t.others[it.ID] > *it.Stock
	})
}

// measured measures orders together, in the order of their ids. They go when each does, with what is asked of it.
func measured(plans map[int64]dayplan.Plan, ids []int64) Tried {
	out := Tried{Goes: true, Proven: true}
	for _, id := range ids {
		p := plans[id]
		if !p.Goes() || p.Unkept != "" {
			return Tried{}
		}
		if out.Problem.Format == "" {
			out.Problem = p.Ask.Whole()
		}
		if p.Leads(id) {
			out.Parcels = append(out.Parcels, p.Plan.Parcels...)
			out.Proven = out.Proven && p.Plan.Status == packing.Optimal
		}
	}
	out.Measure = front.MeasureOf(&out.Problem, out.Parcels)
	return out
}
