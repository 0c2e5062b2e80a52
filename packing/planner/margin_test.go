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

// What a parcel weighs without any margin is what its parts weigh: wrap, packaging and prints, as they are written in the problem.
func TestBareIsTheSumOfTheParts(t *testing.T) {
	with, parcels := 0, 0
	for seed := range uint64(300) {
		p := brute.Any(93_000 + seed)
		if seed%4 > 0 {
			p.Margin.Grammage, p.Margin.Parcel = 50, measure.Mass(seed%4)
		}
		for _, pc := range plan(t, p).Parcels {
			parcels++
			want := p.Wraps[slices.IndexFunc(p.Wraps, func(w packing.Wrap) bool { return w.ID == pc.Wrap })].Mass
			for _, l := range pc.Layers {
				it := p.Shelf[slices.IndexFunc(p.Shelf, func(it packing.Item) bool { return it.ID == l.Item })]
				want += measure.Mass(l.Count) * it.Mass
			}
			for _, c := range pc.Contents {
				o := p.Orders[slices.IndexFunc(p.Orders, func(o packing.Order) bool { return o.ID == c.Order })]
				s := o.Sheets[slices.IndexFunc(o.Sheets, func(s packing.Sheet) bool { return s.ID == c.Sheet })]
				want += measure.Mass(c.Copies) * s.EachMass()
			}
			if got := p.Bare(&pc); got != want {
				t.Fatalf("seed %d: %d ng without margin, its parts weigh %d", 93_000+seed, got, want)
			}
			if want < pc.Mass {
				with++
			}
		}
	}
	if parcels < 100 || with < 50 {
		t.Fatalf("%d parcels, %d of them with a margin: too few", parcels, with)
	}
}
