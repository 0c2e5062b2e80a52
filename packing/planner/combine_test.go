package planner_test

import (
	"context"
	"fmt"
	"slices"
	"testing"

	"solander/calendar"
	"solander/internal/brute"
	"solander/packing"
	"solander/packing/check"
	"solander/packing/planner"
)

// combined calls do with random problems in which orders may share parcels, and with the same where they may not.
func combined(t *testing.T, from, count uint64, do func(seed uint64, p, apart packing.Problem)) {
	t.Helper()
	tried := 0
	for seed := range count {
		p := brute.Random(from + seed)
		if !slices.ContainsFunc(p.Orders, func(o packing.Order) bool { return o.Combine != "" }) {
			continue
		}
		apart := clone(t, p)
		for i := range apart.Orders {
			apart.Orders[i].Combine = ""
		}
		tried++
		if do(from+seed, p, apart); t.Failed() {
			show(t, p, plan(t, p))
			return
		}
	}
	if tried < int(count)/6 {
		t.Errorf("only %d problems let orders share parcels", tried)
	}
}

// The leave to combine never holds more orders and never costs more; nor does it where nothing is proven, as long as
// nothing is scarce.
func TestLeaveToCombineNeverCostsMore(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	saves := 0
	combined(t, 60_000, 600, func(seed uint64, p, apart packing.Problem) {
		with, without := plan(t, p), plan(t, apart)
		if dearer(with, without) {
			t.Errorf("%d: %d held and %d, combined %d held and %d", seed, without.Held, without.Total, with.Held, with.Total)
		}
		if dearer(without, with) {
			saves++
		}
		for i := range p.Shelf {
			p.Shelf[i].Stock, apart.Shelf[i].Stock = nil, nil
		}
		if with, without := plan(t, searched(p)), plan(t, searched(apart)); dearer(with, without) {
			t.Errorf("%d, searched: %d held and %d, combined %d held and %d", seed, without.Held, without.Total, with.Held, with.Total)
		}
	})
	if saves < 20 {
		t.Errorf("combining saved in %d problems only", saves)
	}
}

// No bound of orders planned together is above the best plan there is, and the check passes the plans that a search finds.
func TestBoundsOfCombinedOrders(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	sent := 0
	combined(t, 70_000, 900, func(seed uint64, p, _ packing.Problem) {
		exact, got := plan(t, p), plan(t, searched(p))
		if err := check.Plan(searched(p), got); err != nil {
			t.Fatalf("%d: the check finds: %v", seed, err)
		}
		if exact.Held > 0 {
			return
		}
		sent++
		if got.Held == 0 && (got.Bound > exact.Total || got.Total < exact.Total) {
			t.Errorf("%d: the best costs %d, the search found %d and the bound %d", seed, exact.Total, got.Total, got.Bound)
		}
	})
	if sent < 50 {
		t.Errorf("only %d problems were sent whole", sent)
	}
}

// two is a problem of two orders that go in one large letter together.
func two(t *testing.T) packing.Problem {
	t.Helper()
	p := readProblem(t, "one-print.json")
	p.Rules = nil
	p.Orders = append(p.Orders, clone(t, p).Orders...)
	for i := range p.Orders {
		p.Orders[i].ID = fmt.Sprintf("S-%d", 9-i)
		p.Orders[i].Combine = "Ada"
	}
	return p
}

// Two orders in one parcel: what is said of it, and how its cost is shared out.
func TestTwoOrdersInOneParcel(t *testing.T) {
	p := two(t)
	got := plan(t, p)
	if err := check.Plan(p, got); err != nil {
		t.Fatal(err)
	}
	if len(got.Parcels) != 1 {
		t.Fatalf("%d parcels", len(got.Parcels))
	}
	parcel := got.Parcels[0]
	if parcel.Order != "S-8" || !slices.Equal(parcel.Orders, []string{"S-8", "S-9"}) || len(parcel.Contents) != 2 {
		t.Errorf("the parcel is of %s, %v, and holds %v", parcel.Order, parcel.Orders, parcel.Contents)
	}
	a, b := got.Orders[0], got.Orders[1]
	if a.Total+b.Total != parcel.Cost || a.Total-b.Total != parcel.Cost%2 || a.Parcels != 1 || b.Parcels != 1 {
		t.Errorf("%d is shared out as %d and %d", parcel.Cost, a.Total, b.Total)
	}
}

// A promise, and a rule about the order, hold for a parcel when they do for any of its orders.
func TestWhatOneOrderWantsTheParcelDoes(t *testing.T) {
	p := two(t)
	p.Orders[0].ArriveBy = p.Day.Add(1) // S-9, which is not the first
	got := plan(t, p)
	if got.Held != 1 || got.Orders[1].Reason == nil || got.Orders[1].Reason.Rule != "order.arrive_by" {
		t.Errorf("with a promise that nothing keeps: %d held, %+v", got.Held, got.Orders[1].Reason)
	}
	p = two(t)
	more := p.Orders[0].Sheets[0]
	more.ID, more.Value = "another", 1
	p.Orders[0].Sheets = append(p.Orders[0].Sheets, more)
	two := 2
	p.Rules = []packing.Rule{{ID: "signed", When: packing.When{OrderSheetsFrom: &two}, Then: packing.Then{Tracking: true, Together: true}}}
	got = plan(t, p)
	if err := check.Plan(p, got); err != nil {
		t.Error(err)
	}
	for _, parcel := range got.Parcels {
		if parcel.Orders != nil && len(parcel.Contents) != 3 {
			t.Errorf("orders that may not be split are: %v", parcel.Contents)
		}
	}
}

// Two parcels of one sheet of each order split both, though each parcel holds as many sheets as either order has.
func TestBothOrdersAreWhole(t *testing.T) {
	p := two(t)
	for i := range p.Orders {
		s := p.Orders[i].Sheets[0]
		s.ID, s.Value = "another", 9000
		p.Orders[i].Sheets[0].Value = 9000 * int64(i) // S-9 has one of no value
		if i == 0 {
			s.Value = 0
		}
		p.Orders[i].Sheets = append(p.Orders[i].Sheets, s)
	}
	for i := range p.Wraps {
		p.Wraps[i].Fewest, p.Wraps[i].Most = 2, 2
	}
	much := int64(15_000)
	p.Rules = []packing.Rule{{ID: "much", When: packing.When{ValueOver: &much}, Then: packing.Then{OnlyClasses: []string{"none"}}}}
	if got := plan(t, p); got.Held != 0 || len(got.Parcels) != 2 {
		t.Fatalf("mixed: %d held, %d parcels", got.Held, len(got.Parcels))
	}
	p.Rules = append(p.Rules, packing.Rule{ID: "whole", Then: packing.Then{Together: true}})
	if got := plan(t, p); got.Held != 1 || got.Orders[0].Parcels != 0 {
		t.Errorf("whole: %d held, %+v", got.Held, got.Orders)
	}
}

// An order of several that can go in company alone: with nobody left to go with it is held for that.
func TestAnOrderThatNeedsCompany(t *testing.T) {
	p := two(t)
	third := clone(t, p).Orders[0]
	third.ID = "S-7"
	p.Orders = append(p.Orders, third)
	for i := range p.Wraps {
		p.Wraps[i].Fewest, p.Wraps[i].Most = 2, 2
	}
	got := plan(t, p)
	if err := check.Plan(p, got); err != nil {
		t.Error(err)
	}
	if got.Held != 1 || got.Orders[2].Reason == nil || got.Orders[2].Reason.Rule != "order.partner" {
		t.Errorf("%d held: %+v", got.Held, got.Orders)
	}
}

// A forced choice is asked of each parcel that holds sheets of the order, with all that is in it.
func TestWhyNotOfASharedParcel(t *testing.T) {
	p := two(t)
	for _, order := range []string{"S-8", "S-9"} {
		f := whyNot(t, p, order, "", "parcel")
		if len(f.Contents) != 2 || f.Parcel == nil || len(f.Parcel.Orders) != 2 {
			t.Errorf("%s: %+v", order, f)
		}
	}
	p.Orders[0].Sheets[0].Width *= 100
	if f := whyNot(t, p, "S-9", "", "parcel"); len(f.Contents) != 1 || f.Reason == nil {
		t.Errorf("a held order: %+v", f)
	}
}

// Many orders together are beyond the exact size: a plan all the same, with a bound that may even prove it, and not dearer than
// apart.
func TestManyOrdersTogether(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	p := scarce(8)
	apart := plan(t, p)
	for i := range p.Orders {
		p.Orders[i].Combine = "Ada"
	}
	got := plan(t, p)
	if err := check.Plan(p, got); err != nil {
		t.Error(err)
	}
	if got.Status == packing.Infeasible || dearer(got, apart) || got.Bound > got.Total || got.Bound <= 0 {
		t.Errorf("%s, %d held, %d with bound %d; apart %d held, %d", got.Status, got.Held, got.Total, got.Bound, apart.Held, apart.Total)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	stopped := planWith(t, ctx, p)
	if err := check.Plan(p, stopped); err != nil {
		t.Error(err)
	}
}

func TestOrdersThatMayNotBeCombined(t *testing.T) {
	away := packing.Place{Country: "US", Postcode: "10001"}
	for name, spoil := range map[string]func(p *packing.Problem){
		"another place": func(p *packing.Problem) { p.Orders[1].Destination = away },
		"too many": func(p *packing.Problem) {
			for i := range 7 {
				o := p.Orders[0]
				o.ID = fmt.Sprint(i)
				p.Orders = append(p.Orders, o)
			}
		},
		"too many copies": func(p *packing.Problem) {
			p.Orders[0].Sheets[0].Copies, p.Orders[1].Sheets[0].Copies = 501, 500
		},
	} {
		p := two(t)
		spoil(&p)
		if _, err := planner.Plan(t.Context(), p, nil); err == nil {
			t.Errorf("%s: planned", name)
		}
	}
	p := two(t)
	p.Orders[0].Destination.Postcode = "972-01" // written otherwise, the same place
	p.Orders[1].ArriveBy = calendar.Date(2025, 12, 24)
	if got := plan(t, p); got.Held != 0 || len(got.Parcels) != 1 {
		t.Errorf("%d held, %d parcels", got.Held, len(got.Parcels))
	}
}
