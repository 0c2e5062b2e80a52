package planning

import (
	"context"

	"solander/calendar"
	"solander/dayplan"
	"solander/dayplan/setups"
	"solander/fault"
	"solander/measure"
	"solander/packing"
	"solander/studio"
)

// PlanView is the planner's answer for an order.
type PlanView struct {
	Problem packing.Problem
	Plan    packing.Plan
	Order   studio.OrderView
	Shared  []string // what other orders of the day have to do with it
	Unkept  string   // why the choice of another way is not kept; "" = it is, or none was made
	Units   measure.System

	Left    map[string]int  `json:"-"` // pieces of each item on hand, what other orders of the day take of them included
	Retired map[string]bool `json:"-"` // items no longer used

	One, All dayplan.Ask `json:"-"` // what the plan follows from: see dayplan.Plans.Together
}

// Plan plans the parcels of an order's prints that are not packed yet, handed over on day: today or
// later, moved to the next working day. An order that may be packed gets what the plan of all orders of
// that day together gives it; the problem then holds only the packaging that is left to it. A print that
// cannot go is told in the plan, with its reason.
// Faults: Invalid when day is past; Missing; Refused when the order is not open, all is packed, or it has no address.
func Plan(ctx context.Context, s *studio.Studio, orderID int64, day calendar.Day) (PlanView, error) {
	plan, err := PlanLater(ctx, s, orderID, day)
	return studio.Now(ctx, plan, err)
}

// PlanLater reads what the plan of an order follows from. Faults: as Plan.
func PlanLater(ctx context.Context, s *studio.Studio, orderID int64, day calendar.Day) (studio.Later[PlanView], error) {
	if err := studio.Sane("day", day); err != nil {
		return nil, err
	}
	var v PlanView
	var one, all dayplan.Ask
	err := read(ctx, s, func(t *Planning) error {
		if !day.IsZero() && day.Before(t.Today) {
			return fault.Invalidf("day", "%s is past: nothing can be handed over then", day).ToMend("give a day from %s on", t.Today)
		}
		o, err := t.Order(orderID)
		if err != nil {
			return err
		}
		lines, err := ToPack(o)
		if err != nil {
			return err
		}
		if what := o.NoAddress(); what != "" {
			return studio.NoAddress(o, what)
		}
		d, err := t.Drawer()
		if err != nil {
			return err
		}
		if one, all, err = Asked(s, t, d, o, lines, day); err != nil {
			return err
		}
		v.Units, v.Left, v.Retired = t.Set.Units, all.Room.Left, all.Room.Retired
		v.One, v.All = one, all
		v.Order, err = t.ViewOf(o)
		return err
	})
	return func(ctx context.Context) (PlanView, error) {
		p, err := setups.Together(ctx, s.Plans, orderID, one, all)
		if err != nil {
			return v, err
		}
		v.Problem, v.Plan, v.Shared, v.Unkept = p.Ask.Whole(), p.Plan, p.Shared, p.Unkept
		return v, p.Err
	}, err
}

// PlanProblem plans a problem from outside. Faults: Invalid, everything that is wrong with it.
func PlanProblem(ctx context.Context, s *studio.Studio, p packing.Problem) (packing.Plan, error) {
	return s.Plans.Solve(ctx, p)
}

// Why puts the plan of an order into words.
func (v PlanView) Why() dayplan.Why {
	w := dayplan.WhyPlan(v.Problem, v.Plan, v.Units)
	w.Shared = v.Shared
	return w
}
