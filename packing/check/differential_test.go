package check_test

import (
	"iter"
	"slices"
	"sync/atomic"
	"testing"

	"solander/internal/brute"
	"solander/measure"
	"solander/packing"
	"solander/packing/check"
	"solander/packing/planner"
)

// The planner's answer is as good as the best of everything that could be done, and right.
func TestPlannerAgainstTryingEverything(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	t.Parallel()
	var sent, held, split, shared, apart atomic.Int64
	random(t, problems, func(seed uint64, p *packing.Problem, s *brute.Search) bool {
		if err := p.Check(); err != nil {
			t.Errorf("problem %d is refused: %v", seed, err)
			return false
		}
		plan, err := planner.Plan(t.Context(), *p, nil)
		if err != nil {
			t.Errorf("problem %d: %v", seed, err)
			return false
		}
		best := s.Plan()
		if err := check.Plan(*p, best); err != nil {
			t.Errorf("the best plan of problem %d: %v", seed, err)
			return false
		}
		if plan.Held != best.Held || plan.Total != best.Total || len(plan.Parcels) != len(best.Parcels) || days(p, &plan) != days(p, &best) {
			t.Errorf("problem %d: held %d, total %d, parcels %d, days %d; the best is held %d, total %d, parcels %d, days %d", seed,
				plan.Held, plan.Total, len(plan.Parcels), days(p, &plan), best.Held, best.Total, len(best.Parcels), days(p, &best))
			return false
		}
		if err := check.Plan(*p, plan); err != nil {
			t.Errorf("problem %d: %v", seed, err)
			return false
		}
		sent.Add(int64(len(plan.Orders) - plan.Held))
		held.Add(int64(plan.Held))
		for i := range plan.Parcels {
			shared.Add(int64(min(1, len(plan.Parcels[i].Orders))))
		}
		if partly(p, &plan) {
			apart.Add(1)
		}
		for i := range plan.Orders {
			split.Add(int64(min(1, plan.Orders[i].Parcels/2)))
			if o := &plan.Orders[i]; o.Reason != nil && !heldRightly(p, s, o) {
				t.Errorf("problem %d: order %q is held by %+v, sheet %q", seed, o.ID, *o.Reason, o.Sheet)
				return false
			}
		}
		return true
	})
	// Most must be worth solving: orders that go, some in several parcels, and some that cannot go.
	if sent.Load() < problems/2 || held.Load() < problems/10 || split.Load() < problems/20 || shared.Load() < problems/20 || apart.Load() < problems/200 {
		t.Errorf("%d orders are sent, %d of them in several parcels, %d are held, %d parcels are shared, %d times orders that may share are sent in part: too few of a kind",
			sent.Load(), split.Load(), held.Load(), shared.Load(), apart.Load())
	}
}

// partly reports whether of orders that may share parcels some are sent and some held.
func partly(p *packing.Problem, plan *packing.Plan) bool {
	sent, held := map[string]bool{}, map[string]bool{}
	for _, o := range p.Orders {
		if o.Combine == "" {
			continue
		}
		i := slices.IndexFunc(plan.Orders, func(op packing.OrderPlan) bool { return op.ID == o.ID })
		sent[o.Combine] = sent[o.Combine] || plan.Orders[i].Parcels > 0
		held[o.Combine] = held[o.Combine] || plan.Orders[i].Parcels == 0
	}
	for c := range sent {
		if sent[c] && held[c] {
			return true
		}
	}
	return false
}

// heldRightly reports whether a held order cannot go, and whether some option for it, or for the sheet
// named, breaks the rule named first.
func heldRightly(p *packing.Problem, s *brute.Search, o *packing.OrderPlan) bool {
	switch {
	case o.Reason.Rule == "shelf.shared", o.Reason.Rule == "order.partner":
		return s.Feasible(o.ID)
	case s.Feasible(o.ID):
		return false
	case o.Reason.Rule == "shelf.stock" && outruns(p, o):
		return true
	case o.Reason.Rule == "tariff.none":
		return s.NoCard()
	case o.Sheet == "" && unreached(p, o):
		return true
	case o.Reason.Rule == "shelf.none":
		return !some(s.Reasons(s.Contents(o.ID)), func(packing.Reason) bool { return true })
	}
	options := [][]packing.Content{s.Contents(o.ID)}
	if o.Sheet != "" {
		if s.Fits(o.ID, o.Sheet) {
			return false
		}
		options = s.With(o.ID, o.Sheet)
	}
	return slices.ContainsFunc(options, func(contents []packing.Content) bool {
		return some(s.Reasons(contents), func(r packing.Reason) bool { return is(r, o.Reason) })
	})
}

// outruns reports whether an order could go if there were plenty of everything, and there are as few of some item
// as the reason says.
func outruns(p *packing.Problem, o *packing.OrderPlan) bool {
	plenty := *p
	plenty.Shelf = slices.Clone(p.Shelf)
	as := false
	for i := range plenty.Shelf {
		stock := &plenty.Shelf[i].Stock
		as = as || *stock != nil && int64(**stock) == o.Reason.Limit && o.Reason.Got > o.Reason.Limit
		*stock = nil
	}
	return as && brute.New(&plenty).Feasible(o.ID)
}

func some(reasons iter.Seq[packing.Reason], is func(packing.Reason) bool) bool {
	for r := range reasons {
		if is(r) {
			return true
		}
	}
	return false
}

func is(r packing.Reason, named *packing.Reason) bool {
	return r.Rule == named.Rule && r.Got == named.Got && r.Limit == named.Limit && r.Unit == named.Unit
}

// unreached reports whether no service reaches the order's destination, by the reason named among others:
// it is asked with packaging that takes anything.
func unreached(p *packing.Problem, o *packing.OrderPlan) bool {
	bare := *p
	bare.Rules = nil
	bare.Shelf = []packing.Item{{ID: "anything", Kind: packing.Envelope, Width: measure.Metre, Height: measure.Metre}}
	bare.Wraps = []packing.Wrap{{ID: "anything", Shape: packing.Flat, Layers: []packing.Layer{{Kind: packing.Envelope}}}}
	s := brute.New(&bare)
	named := false
	for r := range s.Reasons(s.Contents(o.ID)) {
		if !slices.Contains([]string{"service.destination", "zone.origin", "zone.destination", "price.zone"}, r.Rule) {
			return false
		}
		named = named || is(r, o.Reason)
	}
	return named
}

// days is what plan.md, section 1, counts: 100 for a parcel whose service states none.
func days(p *packing.Problem, plan *packing.Plan) int {
	n := 0
	for i := range plan.Parcels {
		if plan.Parcels[i].Arrives.IsZero() {
			n += 100
		} else {
			n += plan.Parcels[i].Arrives.Sub(p.Day)
		}
	}
	return n
}
