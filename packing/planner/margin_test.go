package planner_test

import (
	"slices"
	"testing"

	"solander/internal/brute"
	"solander/measure"
	"solander/packing"
	"solander/packing/check"
	"solander/tariff"
)

// risesWithMass reports that nothing in a problem is allowed or cheap because a parcel is heavy or thick.
func risesWithMass(p *packing.Problem) bool {
	for i := range p.Rules {
		if w := &p.Rules[i].When; w.MassOver != nil || w.MassTo != nil {
			return false
		}
	}
	for i := range p.Wraps {
		if slices.ContainsFunc(p.Wraps[i].Layers, func(l packing.Layer) bool { return l.Empty != nil }) {
			return false
		}
	}
	falls := func(b tariff.Bound) bool { return b.Measure != tariff.ValueOf }
	for _, c := range p.Cards {
		for _, s := range c.Services {
			if slices.ContainsFunc(s.Limits, func(b tariff.Bound) bool { return b.Min != nil || b.Over != nil }) {
				return false
			}
			for _, x := range s.Surcharges {
				if slices.ContainsFunc(x.When, func(b tariff.Bound) bool { return falls(b) && (b.Max != nil || b.Under != nil) }) {
					return false
				}
			}
			last := make([]tariff.Cell, len(s.Prices.Rows[0].Prices))
			for _, r := range s.Prices.Rows {
				for i, now := range r.Prices {
					if last[i] == tariff.NotCarried && now != tariff.NotCarried || now != tariff.NotCarried && now < last[i] {
						return false
					}
					last[i] = now
				}
			}
		}
	}
	return true
}

// More margin never lowers the cost, and a plan with margin holds without: the same parcels, lighter and thinner, are allowed.
func TestMoreMarginNeverCostsLess(t *testing.T) {
	compared, dearerBy := 0, 0
	for seed := range uint64(600) {
		p := brute.Any(90_000 + seed)
		if !risesWithMass(&p) {
			continue
		}
		p.Margin = packing.Margin{}
		was := plan(t, p)
		for _, m := range []packing.Margin{{Grammage: 50, Caliper: 50, Parcel: 5 * measure.Gram}, {Grammage: 200, Caliper: 100, Parcel: 20 * measure.Gram}} {
			p.Margin = m
			now := plan(t, p)
			if dearer(was, now) {
				t.Errorf("%d: %d held and %d, with the margin %+v %d held and %d", seed, was.Held, was.Total, m, now.Held, now.Total)
				show(t, p, now)
				return
			}
			if dearer(now, was) {
				dearerBy++
			}
			if err := check.Plan(p, now); err != nil {
				t.Errorf("%d: %v", seed, err)
			}
			was = now
		}
		compared++
	}
	if compared < 50 || dearerBy < 10 {
		t.Errorf("only %d problems were compared, in %d steps the margin cost something", compared, dearerBy)
	}
	t.Logf("%d problems; in %d of %d steps the margin costs something", compared, dearerBy, 2*compared)
}
