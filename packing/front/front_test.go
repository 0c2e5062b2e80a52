package front_test

import (
	"context"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"solander/calendar"
	"solander/internal/brute"
	"solander/packing"
	"solander/packing/check"
	"solander/packing/front"
	"solander/packing/planner"
)

// alone is the problem of its first order with a demand on it.
func alone(p packing.Problem, d front.Demand) packing.Problem {
	none := 0
	p.Orders, p.Options.RejectedMost = slices.Clone(p.Orders[:1]), &none
	p.Rules = append(slices.Clone(p.Rules), d.On(&p, &p.Orders[0])...)
	return p
}

// planned is the front of a problem's first order as the planner finds it.
func planned(t *testing.T, p packing.Problem) []front.Way {
	t.Helper()
	ways, err := front.Search(front.Arrivals(&p, &p.Orders[0]), func(d front.Demand) (front.Measure, bool, error) {
		q := alone(p, d)
		plan, err := planner.Plan(context.Background(), q, nil)
		if err != nil {
			return front.Measure{}, false, err
		}
		if err := check.Plan(q, plan); err != nil {
			t.Errorf("asked %+v: %v", d, err)
		}
		return front.MeasureOf(&q, plan.Parcels), plan.Held == 0, nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return ways
}

// asTotals says a front in the terms of the search that tries everything.
func asTotals(ways []front.Way, day calendar.Day) []total {
	var out []total
	for _, w := range ways {
		x := total{Money: w.Money, Days: noDay, Packaging: slices.Index(front.Packagings(), w.Packaging), Care: slices.Index(front.Cares(), w.Care)}
		if !w.Arrives.IsZero() {
			x.Days = w.Arrives.Sub(day)
		}
		out = append(out, x)
	}
	return sorted(out)
}

// The front is what is left of all ways to send: every split, wrap, item, cut, service, cover and signature tried, by a search that shares
// nothing with the planner and measures by code of its own.
func TestFrontAgainstEnumeration(t *testing.T) {
	cases := 4000
	if testing.Short() {
		cases = 250
	}
	several, empty, most := 0, 0, 0
	for seed := range cases {
		p := brute.Apart(uint64(seed))
		if n := p.Orders[0]; len(n.Sheets) > 3 {
			p.Orders[0].Sheets = n.Sheets[:3]
		}
		p.Orders[0].Combine = ""
		p.Orders = p.Orders[:1]
		got := planned(t, p)
		if diff := cmp.Diff(enumerated(p), asTotals(got, p.Day)); diff != "" {
			t.Fatalf("problem %d: the front differs (-tried +found):\n%s", seed, diff)
		}
		switch n := len(got); {
		case n == 0:
			empty++
		case n > 1:
			several++
		}
		most = max(most, len(got))
	}
	if several < cases/5 {
		t.Errorf("only %d of %d fronts have several ways: little was tested", several, cases)
	}
	t.Logf("%d fronts of several ways, up to %d; %d orders cannot go", several, most, empty)
}

// Who asks more never pays less: over every pair of demands of which one asks all that the other does.
func TestAskingMoreNeverCostsLess(t *testing.T) {
	cases, compared := 300, 0
	if testing.Short() {
		cases = 30
	}
	for seed := range cases {
		p := brute.Apart(uint64(10_000 + seed))
		p.Orders = p.Orders[:1]
		days := append([]calendar.Day{{}}, front.Arrivals(&p, &p.Orders[0])...)
		type answer struct {
			front.Demand
			money int64
			goes  bool
		}
		var all []answer
		for _, by := range days {
			for _, pack := range front.Packagings() {
				for _, care := range front.Cares() {
					d := front.Demand{ArriveBy: by, Protection: front.Protection{Packaging: pack, Care: care}}
					plan, err := planner.Plan(context.Background(), alone(p, d), nil)
					if err != nil {
						t.Fatal(err)
					}
					all = append(all, answer{d, plan.Total, plan.Held == 0})
				}
			}
		}
		for _, a := range all {
			for _, b := range all {
				more := a.AtLeast(b.Protection) && (b.ArriveBy.IsZero() || !a.ArriveBy.IsZero() && !a.ArriveBy.After(b.ArriveBy))
				if !more || !a.goes {
					continue
				}
				compared++
				if !b.goes || b.money > a.money {
					t.Errorf("problem %d: %+v costs %d, less than %+v (%d, %v)", seed, a.Demand, a.money, b.Demand, b.money, b.goes)
				}
			}
		}
	}
	if compared < 1000 && !testing.Short() {
		t.Errorf("only %d pairs were compared", compared)
	}
}

// Each way of a front keeps what was asked to get it, no way beats another, and they get dearer from the first to the last.
func TestWaysOfAFront(t *testing.T) {
	for seed := range 200 {
		p := brute.Apart(uint64(20_000 + seed))
		p.Orders = p.Orders[:1]
		ways := planned(t, p)
		for i, w := range ways {
			if i > 0 && w.Money < ways[i-1].Money {
				t.Errorf("problem %d: way %d costs less than the one before", seed, i)
			}
			for j, o := range ways {
				if w.Beats(o.Measure) {
					t.Errorf("problem %d: way %d beats way %d", seed, i, j)
				}
			}
		}
		if len(ways) == 0 {
			continue
		}
		if at := front.Sooner(ways, ways[0].Measure); at >= 0 && !ways[at].Arrives.Before(ways[0].Arrives) && !ways[0].Arrives.IsZero() {
			t.Errorf("problem %d: the sooner way arrives on %s, the cheapest on %s", seed, ways[at].Arrives, ways[0].Arrives)
		}
		if at := front.Safer(ways, ways[0].Measure); at >= 0 && (!ways[at].AtLeast(ways[0].Protection) || ways[at].Protection == ways[0].Protection) {
			t.Errorf("problem %d: %+v is not safer than %+v", seed, ways[at], ways[0])
		}
	}
}
