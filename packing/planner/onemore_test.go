package planner_test

import (
	"context"
	"testing"

	"solander/fault"
	"solander/internal/brute"
	"solander/packing"
	"solander/packing/check"
	"solander/packing/planner"
)

// One more tube: two orders would like the only one; the other goes in something that costs 30 more. With no
// tube at all, and nothing else on the shelf, one more lets an order go.
func TestOneMorePiece(t *testing.T) {
	p := flatEdge()
	dear := p.Shelf[1]
	dear.ID, dear.Cost = "dear", dear.Cost+30
	one := 1
	p.Shelf[1].Stock = &one
	p.Shelf = append(p.Shelf, dear)
	second := p.Orders[0]
	second.ID = "second"
	p.Orders = append(p.Orders, second)
	for name, c := range map[string]struct {
		change func(*packing.Problem)
		item   string
		want   planner.Marginal
	}{
		"scarce":          {func(*packing.Problem) {}, "m", planner.Marginal{Item: "m", Stock: 1, Saves: 30, Proven: true}},
		"plenty":          {func(*packing.Problem) {}, "dear", planner.Marginal{Item: "dear", Proven: true}},
		"nothing instead": {func(p *packing.Problem) { p.Shelf = p.Shelf[:2] }, "m", planner.Marginal{Item: "m", Stock: 1, Sends: 1, Saves: -930, Proven: true}},
	} {
		q := clone(t, p)
		c.change(&q)
		got, err := planner.OneMore(context.Background(), q, c.item)
		if err != nil || got != c.want {
			t.Errorf("%s: %+v, %v, want %+v", name, got, err, c.want)
		}
	}
	if _, err := planner.OneMore(context.Background(), p, "nothing such"); !fault.Is(err, fault.Missing) {
		t.Errorf("an unknown item: %v", err)
	}
}

// On random problems it says what every plan says.
func TestOneMoreAgainstEveryPlan(t *testing.T) {
	worth := 0
	for seed := range uint64(700) {
		p := brute.Random(120_000 + seed)
		for i := range p.Shelf {
			if p.Shelf[i].Stock == nil {
				continue
			}
			got, err := planner.OneMore(context.Background(), p, p.Shelf[i].ID)
			if err != nil {
				t.Fatal(err)
			}
			was := brute.New(&p).Plan()
			q := clone(t, p)
			*q.Shelf[i].Stock++
			now := brute.New(&q).Plan()
			if got.Sends != was.Held-now.Held || got.Saves != was.Total-now.Total {
				t.Errorf("problem %d, %s: %+v; held %d, then %d; %d, then %d", seed, p.Shelf[i].ID, got, was.Held, now.Held, was.Total, now.Total)
			}
			if got.Sends > 0 || got.Saves > 0 {
				worth++
			}
			break
		}
	}
	if worth < 3 {
		t.Errorf("one more piece was worth something only %d times", worth)
	}
}

// So many orders want so many scarce kinds that not every use of them can be kept: the answer says so, passes
// the check and comes close to its bound.
func TestTooMuchIsScarce(t *testing.T) {
	p := scarce(40)
	for i := range p.Shelf {
		if p.Shelf[i].Kind != packing.Sleeve {
			stock := 9 + i%4
			p.Shelf[i].Stock = &stock
		}
	}
	got := plan(t, p)
	if err := check.Plan(p, got); err != nil {
		t.Fatal(err)
	}
	if got.Bound > got.Total || got.Status == packing.NotProven && (got.Bound <= 0 || 20*(got.Total-got.Bound) > got.Total) {
		t.Errorf("%s: %d, bound %d", got.Status, got.Total, got.Bound)
	}
	t.Logf("%s: %d held, %d, bound %d", got.Status, got.Held, got.Total, got.Bound)
}
