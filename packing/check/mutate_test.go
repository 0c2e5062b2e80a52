package check_test

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"solander/internal/brute"
	"solander/packing"
	"solander/packing/check"
	"solander/packing/planner"
	"solander/tariff"
)

// mutation spoils a right plan in one way. It reports false when the plan offers no place for it.
type mutation struct {
	rule  string // one finding must name it; "" = any
	spoil func(p *packing.Problem, plan *packing.Plan) bool
}

// leastSpoilt is on how many plans each mutation must have been tried.
const leastSpoilt = 12

// Each way to spoil a plan is found, by the rule that it breaks, in each plan that it can spoil. What a
// mutation changes is carried through all sums, so that nothing but the spoilt place gives it away.
func TestSpoiltPlansAreFound(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	t.Parallel()
	if len(mutations) < 30 {
		t.Fatalf("only %d mutations", len(mutations))
	}
	tried := map[string]int{}
	left := len(mutations)
	for seed := uint64(0); seed < 3000 && left > 0; seed++ {
		p := brute.Random(seed)
		switch seed % 4 {
		case 1:
			p = brute.Both(seed)
		case 3:
			p = brute.Cards(seed)
		}
		plan, err := planner.Plan(t.Context(), p, nil)
		if err != nil {
			t.Fatal(err)
		}
		text, err := json.Marshal(plan)
		if err != nil {
			t.Fatal(err)
		}
		for name, m := range mutations {
			if tried[name] >= leastSpoilt {
				continue
			}
			var spoilt packing.Plan
			if err := json.Unmarshal(text, &spoilt); err != nil {
				t.Fatal(err)
			}
			if !m.spoil(&p, &spoilt) {
				continue
			}
			if tried[name]++; tried[name] == leastSpoilt {
				left--
			}
			found := check.Plan(p, spoilt)
			if found == nil || !strings.Contains(found.Error(), m.rule) {
				t.Errorf("%s in problem %d: no finding %q in %v", name, seed, m.rule, found)
			}
		}
	}
	for name := range mutations {
		if tried[name] < leastSpoilt {
			t.Errorf("%s was tried on %d plans, want %d", name, tried[name], leastSpoilt)
		}
	}
}

// settle carries what was changed through all sums and counts.
func settle(plan *packing.Plan) {
	plan.Total, plan.Held = 0, 0
	used := map[string]int{}
	for i := range plan.Parcels {
		p := &plan.Parcels[i]
		p.Cost = 0
		for _, l := range p.Lines {
			p.Cost += l.Amount
		}
		plan.Total += p.Cost
		for _, e := range p.Layers {
			used[e.Item] += e.Count
		}
	}
	for i := range plan.Orders {
		o := &plan.Orders[i]
		o.Total, o.Parcels = 0, 0
		for _, p := range plan.Parcels {
			ids, shares := p.SharesOf(p.Cost)
			if at := slices.Index(ids, o.ID); at >= 0 {
				o.Total += shares[at]
				o.Parcels++
			}
		}
		o.Bound = o.Total
		if o.Parcels == 0 {
			plan.Held++
		}
	}
	plan.Bound = plan.Total
	plan.StockUsed = nil
	for item, n := range used {
		plan.StockUsed = append(plan.StockUsed, packing.Use{Item: item, Count: n})
	}
	slices.SortFunc(plan.StockUsed, func(a, b packing.Use) int { return strings.Compare(a.Item, b.Item) })
	plan.Rejected = nil
}

// first spoils the first parcel that can be, and settles the sums.
func first(spoil func(p *packing.Problem, parcel *packing.Parcel) bool) func(*packing.Problem, *packing.Plan) bool {
	return func(p *packing.Problem, plan *packing.Plan) bool {
		for i := range plan.Parcels {
			if spoil(p, &plan.Parcels[i]) {
				settle(plan)
				return true
			}
		}
		return false
	}
}

// line spoils the first line of a rule.
func line(rule string, spoil func(l *tariff.Line)) func(*packing.Problem, *packing.Plan) bool {
	return first(func(_ *packing.Problem, parcel *packing.Parcel) bool {
		i := slices.IndexFunc(parcel.Lines, func(l tariff.Line) bool { return l.Rule == rule })
		if i >= 0 {
			spoil(&parcel.Lines[i])
		}
		return i >= 0
	})
}

// drop leaves out the first line of a rule.
func drop(rule string) func(*packing.Problem, *packing.Plan) bool {
	return first(func(_ *packing.Problem, parcel *packing.Parcel) bool { return dropLine(parcel, rule) })
}

func dropLine(parcel *packing.Parcel, rule string) bool {
	i := slices.IndexFunc(parcel.Lines, func(l tariff.Line) bool { return l.Rule == rule })
	if i >= 0 {
		parcel.Lines = slices.Delete(parcel.Lines, i, i+1)
	}
	return i >= 0
}

// entry spoils the first layer entry that can be, and lets its packaging line follow.
func entry(spoil func(p *packing.Problem, parcel *packing.Parcel, e *packing.LayerPlan) bool) func(*packing.Problem, *packing.Plan) bool {
	return first(func(p *packing.Problem, parcel *packing.Parcel) bool {
		for i := range parcel.Layers {
			e := &parcel.Layers[i]
			if !spoil(p, parcel, e) {
				continue
			}
			parcel.Lines[i].What, parcel.Lines[i].Count = e.Item, e.Count
			if item := item(p, e.Item); item != nil {
				parcel.Lines[i].Amount = int64(e.Count) * item.Cost
			}
			return true
		}
		return false
	})
}

func item(p *packing.Problem, id string) *packing.Item {
	for i := range p.Shelf {
		if p.Shelf[i].ID == id {
			return &p.Shelf[i]
		}
	}
	return nil
}

// parcel spoils the first parcel in any case.
func parcel(spoil func(parcel *packing.Parcel)) func(*packing.Problem, *packing.Plan) bool {
	return first(func(_ *packing.Problem, p *packing.Parcel) bool { spoil(p); return true })
}

// inPost spoils the first parcel whose days in the post are stated.
func inPost(spoil func(parcel *packing.Parcel)) func(*packing.Problem, *packing.Plan) bool {
	return first(func(_ *packing.Problem, p *packing.Parcel) bool {
		stated := p.DaysMin != nil
		if stated {
			spoil(p)
		}
		return stated
	})
}

// rolled spoils the first rolled parcel.
func rolled(spoil func(r *packing.RollPlan)) func(*packing.Problem, *packing.Plan) bool {
	return first(func(_ *packing.Problem, p *packing.Parcel) bool {
		if p.Roll != nil {
			spoil(p.Roll)
		}
		return p.Roll != nil
	})
}

// whole spoils something of the plan itself, or of a plan with parcels; sums stay as they are.
func whole(spoil func(plan *packing.Plan)) func(*packing.Problem, *packing.Plan) bool {
	return func(_ *packing.Problem, plan *packing.Plan) bool {
		if len(plan.Parcels) == 0 {
			return false
		}
		spoil(plan)
		return true
	}
}

// option spoils the first rejected option.
func option(spoil func(o *packing.Rejected, plan *packing.Plan)) func(*packing.Problem, *packing.Plan) bool {
	return func(_ *packing.Problem, plan *packing.Plan) bool {
		if len(plan.Rejected) > 0 {
			spoil(&plan.Rejected[0], plan)
		}
		return len(plan.Rejected) > 0
	}
}

// orderOf spoils the first order with (or without) parcels.
func orderOf(sent bool, spoil func(o *packing.OrderPlan)) func(*packing.Problem, *packing.Plan) bool {
	return func(_ *packing.Problem, plan *packing.Plan) bool {
		i := slices.IndexFunc(plan.Orders, func(o packing.OrderPlan) bool { return (o.Parcels > 0) == sent })
		if i >= 0 {
			spoil(&plan.Orders[i])
		}
		return i >= 0
	}
}
