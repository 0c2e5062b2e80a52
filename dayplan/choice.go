package dayplan

import (
	"context"
	"fmt"
	"maps"
	"slices"

	"solander/fault"
	"solander/packing/front"
)

// Asking is the day with a demand on some of its orders, by mark, in place of what is asked of them; the zero Demand asks nothing.
func (a Ask) Asking(d front.Demand, marks ...string) Ask {
	demands := map[string]front.Demand{}
	for _, m := range marks {
		demands[m] = d
	}
	a.Base = a.Base.asking(demands)
	return a
}

// Asked is what is asked of an order beyond the rules.
func (a Ask) Asked(mark string) front.Demand { return a.Base.asks[mark] }

// With are the marks of the orders that an order may share parcels with, itself among them.
func (a Ask) With(mark string) []string {
	for _, unit := range a.units {
		if slices.Contains(unit, a.Place[mark]) {
			var out []string
			for _, i := range unit {
				out = append(out, a.Orders[i].ID)
			}
			return out
		}
	}
	return nil
}

// Kept plans a day with all that is asked of its orders, as far as it can be kept: an order that cannot go so is planned as if nothing
// were asked of it, and is told why. shared reports whether scarce packaging had to be shared out on the way.
func (c *Plans) Kept(ctx context.Context, a Ask) (plans map[int64]Plan, shared bool, err error) {
	unkept := map[int64]string{}
	a = a.inTime(unkept)
	for {
		var scarce bool
		plans, scarce, err = c.planDay(ctx, a)
		if err != nil {
			return nil, shared, err
		}
		shared = shared || scarce
		freed := map[string]front.Demand{}
		for i, id := range a.Ids {
			if mark := a.Orders[i].ID; a.Asked(mark) != (front.Demand{}) && !plans[id].Goes() && !Stopped(ctx) {
				freed[mark], unkept[id] = front.Demand{}, plans[id].why()
			}
		}
		if len(freed) == 0 {
			break
		}
		a.Base = a.Base.asking(freed)
	}
	if len(unkept) > 0 {
		plans = maps.Clone(plans)
	}
	for id, why := range unkept {
		if p := plans[id]; p.Goes() {
			p.Unkept = why
			plans[id] = p
		}
	}
	return plans, shared, nil
}

// OfUnit plans an order of a day, and those that it may share parcels with, as if nobody else took of the shelf; without telling why not
// otherwise. Faults: only when ctx ends.
func (c *Plans) OfUnit(ctx context.Context, a Ask, mark string) (map[int64]Plan, error) {
	terse, none := a.Base, 0
	terse.Options.RejectedMost = &none // parcels are the same; nobody reads why others are not
	got := make([]Plan, len(a.Ids))
	out := map[int64]Plan{}
	for _, unit := range a.units {
		if !slices.Contains(unit, a.Place[mark]) {
			continue
		}
		if err := c.planUnit(ctx, a, terse, unit, got); err != nil {
			return nil, err
		}
		for _, i := range unit {
			out[a.Ids[i]] = got[i]
		}
	}
	return out, ctx.Err()
}

// inTime leaves out what is asked by a day that is past when the parcels are handed over.
func (a Ask) inTime(unkept map[int64]string) Ask {
	late := map[string]front.Demand{}
	for i, id := range a.Ids {
		if by := a.Asked(a.Orders[i].ID).ArriveBy; !by.IsZero() && by.Before(a.Base.Day) {
			late[a.Orders[i].ID], unkept[id] = front.Demand{}, fmt.Sprintf("it was to arrive by %s, and is handed over on %s", by, a.Base.Day)
		}
	}
	if len(late) > 0 {
		a.Base = a.Base.asking(late)
	}
	return a
}

// Goes reports whether the order can go.
func (p Plan) Goes() bool { return p.Err == nil && p.Held() == "" }

// why says why an order does not go.
func (p Plan) why() string {
	if p.Err != nil {
		return fault.All(p.Err)[0].Error()
	}
	return p.Held()
}
