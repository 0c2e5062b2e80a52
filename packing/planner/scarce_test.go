package planner_test

import (
	"fmt"
	"testing"

	"solander/packing"
	"solander/packing/check"
)

// scarce is n orders of one to four sheets, three kinds of packaging of which there are too few.
func scarce(n int) packing.Problem {
	p := gallery(1)
	p.Orders = nil
	for i := range n {
		o := packing.Order{ID: fmt.Sprintf("o%03d", i), Destination: packing.Place{Country: "US", Postcode: "10001"}}
		for j := range 1 + i%4 {
			o.Sheets = append(o.Sheets, print(i+3*j))
			o.Sheets[j].ID = fmt.Sprintf("s%d", j)
		}
		p.Orders = append(p.Orders, o)
	}
	few := map[string]int{"tube-20": 3, "carton-13": 4, "carton-18": 5}
	for i := range p.Shelf {
		if stock, ok := few[p.Shelf[i].ID]; ok {
			p.Shelf[i].Stock = &stock
		}
	}
	return p
}

// scarceKinds is n orders of one to four sheets and so many kinds of packaging of which there are too few, up to
// eight: when one is used up, the orders turn to the next.
func scarceKinds(n, kinds int) packing.Problem {
	p := scarce(n)
	few := []struct {
		id      string
		percent int // pieces for a hundred orders
	}{{"tube-20", 62}, {"tube-26", 24}, {"board-8", 10}, {"board-11", 9}, {"mailer-12", 10}, {"board-12", 8}, {"board-13", 8}, {"mailer-13", 7}}
	for i := range p.Shelf {
		p.Shelf[i].Stock = nil
		for _, f := range few[:kinds] {
			if f.id == p.Shelf[i].ID {
				stock := n * f.percent / 100
				p.Shelf[i].Stock = &stock
			}
		}
	}
	return p
}

// Many kinds of scarce packaging over many orders: no order is held that can go, the gap stays small, and where the
// bound is reached the plan is called proven.
func TestManyScarceKinds(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	for _, c := range []struct {
		orders, kinds int
		proven        bool
	}{{12, 8, true}, {40, 5, true}, {40, 8, true}, {100, 6, false}, {100, 8, false}} {
		p := scarceKinds(c.orders, c.kinds)
		got := plan(t, p)
		if err := check.Plan(p, got); err != nil {
			t.Errorf("%+v: %v", c, err)
		}
		if got.Held > 0 || got.Status == packing.Infeasible || 200*(got.Total-got.Bound) > got.Total {
			t.Errorf("%+v: %s, %d held, %d, bound %d", c, got.Status, got.Held, got.Total, got.Bound)
		}
		if c.proven && got.Status != packing.Optimal {
			t.Errorf("%+v: %s", c, got.Status)
		}
		free := clone(t, p)
		for i := range free.Shelf {
			free.Shelf[i].Stock = nil
		}
		if plan(t, free).Total >= got.Total {
			t.Errorf("%+v: nothing was scarce", c)
		}
	}
}

// Scarce packaging goes where it saves most: the sum is not worse than when any order is served first.
func TestScarcePackagingIsShared(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	p := scarce(12)
	all := plan(t, p)
	if err := check.Plan(p, all); err != nil {
		t.Fatal(err)
	}
	if all.Status != packing.Optimal || all.Held != 0 {
		t.Fatalf("%s, %d held", all.Status, all.Held)
	}
	for start := range p.Orders {
		if greedy := oneByOne(t, clone(t, p), start); greedy < all.Total {
			t.Errorf("one by one from order %d costs %d, together %d", start, greedy, all.Total)
		}
	}
	plenty := clone(t, p)
	for i := range plenty.Shelf {
		plenty.Shelf[i].Stock = nil
	}
	if free := plan(t, plenty); free.Total >= all.Total {
		t.Errorf("nothing was scarce: %d with plenty, %d with few", free.Total, all.Total)
	}
}

// oneByOne serves the orders in turn, each at its best from what is left.
func oneByOne(t *testing.T, p packing.Problem, start int) int64 {
	t.Helper()
	orders := append(p.Orders[start:len(p.Orders):len(p.Orders)], p.Orders[:start]...)
	total := int64(0)
	for _, o := range orders {
		p.Orders = []packing.Order{o}
		one := plan(t, p)
		total += one.Total
		for _, u := range one.StockUsed {
			for i := range p.Shelf {
				if p.Shelf[i].ID == u.Item && p.Shelf[i].Stock != nil {
					*p.Shelf[i].Stock -= u.Count
				}
			}
		}
	}
	return total
}

// Orders past the exact size are answered and checked, and called proven only where the bound is reached.
func TestLongOrders(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	p := fours(50)
	got := plan(t, p)
	if err := check.Plan(p, got); err != nil {
		t.Fatal(err)
	}
	if got.Bound <= 0 || got.Bound > got.Total || got.Held != 0 || got.Status == packing.Optimal && got.Bound < got.Total {
		t.Errorf("%s, bound %d, total %d, held %d", got.Status, got.Bound, got.Total, got.Held)
	}
	// At a size where both are possible the search is not better than the exact answer, and its bound
	// is one.
	small := fours(2)
	exact := plan(t, small)
	small.Options.ExactStates = 1
	searched := plan(t, small)
	if exact.Status != packing.Optimal || searched.Total < exact.Total || searched.Bound > exact.Total {
		t.Errorf("exact %s %d; searched %s %d, bound %d", exact.Status, exact.Total, searched.Status, searched.Total, searched.Bound)
	}
}

// So many orders want so many scarce kinds that not every use of them can be kept: the answer says so, passes
// the check and comes close to its bound.
func TestTooMuchIsScarce(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
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
