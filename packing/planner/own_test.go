package planner_test

import (
	"strings"
	"testing"

	"solander/packing"
	"solander/packing/check"
	"solander/tariff"
)

// tubesOnly is two orders that must go rolled, each sheet in a parcel of its own: of three sheets, and of one. There
// are so many tubes.
func tubesOnly(tubes int) packing.Problem {
	p := gallery(3)
	p.Orders = append(p.Orders, packing.Order{ID: "single", Destination: p.Orders[0].Destination, Sheets: []packing.Sheet{print(1)}})
	one := 1
	p.Wraps = p.Wraps[3:] // rolled
	p.Rules = []packing.Rule{{ID: "one by one", Then: packing.Then{SheetsMost: &one}}}
	for i := range p.Shelf {
		switch p.Shelf[i].ID {
		case "tube-20":
			p.Shelf[i].Stock = &tubes
		case "tube-26":
			none := 0
			p.Shelf[i].Stock = &none
		}
	}
	return p
}

// An order whose own parcels outrun the stock is held for that, and not because others take what it needs; one that
// could go alone is held because of the others.
func TestWhoseParcelsOutrunTheStock(t *testing.T) {
	for tubes, want := range map[int]packing.Reason{
		2: {Rule: "shelf.stock", Got: 3, Limit: 2, Unit: "pieces"},
		3: {Rule: "shelf.shared", Got: 4, Limit: 3, Unit: "pieces"},
	} {
		p := tubesOnly(tubes)
		if tubes == 3 {
			p.Orders[0].ID, p.Orders[1].ID = "b", "a" // either may go, the one alone is cheaper
		}
		got := plan(t, p)
		if err := check.Plan(p, got); err != nil {
			t.Fatal(err)
		}
		held := 0
		for _, o := range got.Orders {
			if o.Reason == nil {
				continue
			}
			held++
			r := *o.Reason
			if others := strings.Contains(r.Text, "others"); others != (r.Rule == "shelf.shared") {
				t.Errorf("%d tubes: %q", tubes, r.Text)
			}
			if r.Text = ""; r != want {
				t.Errorf("%d tubes: held by %+v, want %+v", tubes, r, want)
			}
			o.Reason.Limit++
			if check.Plan(p, got) == nil {
				t.Errorf("%d tubes: the check believes that there is one more", tubes)
			}
		}
		if held != 1 {
			t.Errorf("%d tubes: %d orders held", tubes, held)
		}
	}
}

// A service that has no price at all for the zone is not said to look cheaper than what was chosen.
func TestAServiceWithoutAPriceLooksLikeNothing(t *testing.T) {
	p := gallery(2)
	letter := &p.Cards[0].Services[0]
	for i := range letter.Prices.Rows {
		letter.Prices.Rows[i].Prices[0] = tariff.NotCarried
	}
	got := plan(t, p)
	if err := check.Plan(p, got); err != nil {
		t.Fatal(err)
	}
	if len(got.Rejected) == 0 {
		t.Fatal("nothing looks cheaper: nothing was tried")
	}
	for _, r := range got.Rejected {
		if r.Service == letter.ID {
			t.Errorf("%+v", r)
		}
	}
}
