package studio_test

import (
	"strings"
	"testing"

	"solander/bench"
	"solander/calendar"
	"solander/edition"
	"solander/measure"
	"solander/order"
	"solander/packing"
	"solander/studio"
	"solander/tariff"
)

// heldWith takes a paid, signed order of a heron and one that is bad, and returns what the bench says of the bad
// one and its plan in words. The good one must have a plan all the same.
func (b *bed) heldWith(bad studio.OrderView) (blocked string, why studio.WhyOrder) {
	b.Helper()
	good := b.ready(b.heron.ID)
	list, err := b.Bench(b.ctx, calendar.Day{})
	b.must(err)
	seen := false
	for _, tasks := range list.Groups {
		for _, t := range tasks {
			if t.Mark == bad.Mark && t.Blocked != "" {
				blocked = t.Blocked
			}
			seen = seen || t.Mark == good.Mark && t.Group == bench.PackOrders && t.Blocked == "" && len(t.Detail) > 0
		}
	}
	if !seen {
		b.Errorf("the good order %s is held up by %s", good.Mark, bad.Mark)
	}
	plan, err := b.Plan(b.ctx, bad.ID, calendar.Day{})
	b.must(err)
	orders := plan.Why().Orders
	if len(orders) != 1 || orders[0].Order != bad.Mark {
		b.Fatalf("%+v", orders)
	}
	return blocked, orders[0]
}

// abroadSale is a paid, signed heron to Canada, whither the invented card has no service.
func (b *bed) abroadSale() studio.OrderView {
	b.Helper()
	in := b.sale()
	in.ShipTo = order.Address{Name: "Noor Vass", Line1: "3 Dock Street", City: "Halifax", Region: "NS", Postcode: "B3H 1A1", Country: "CA"}
	v := b.take(in)
	b.must(b.Pay(b.ctx, studio.PaymentIn{Order: v.ID, Amount: v.Owed}))
	b.must(b.Sign(b.ctx, lineIDs(v)))
	return b.order(v.ID)
}

// whole puts one thing in the place of another.
func whole[T any](v T) func(*T) error {
	return func(is *T) error {
		*is = v
		return nil
	}
}

func (b *bed) changeSettings(change func(*studio.Settings)) {
	b.Helper()
	b.must(b.ChangeSettings(b.ctx, func(set *studio.Settings) error {
		change(set)
		return nil
	}))
}

// What is wrong with one order is told with the order and the print, and stops no other order.
func TestBadInputHoldsOneOrder(t *testing.T) {
	t.Run("impossible sheet", func(t *testing.T) {
		b := newBed(t)
		vast := heron()
		vast.Width, vast.Height, vast.TightestRoll, vast.Limit, vast.Proofs, vast.Steps = 90*measure.Inch, 120*measure.Inch, 0, 3, edition.Proofs{}, nil
		e := b.declare("The whole estuary", vast)
		b.must(b.CountSheets(b.ctx, e.ID, 2, "first count"))
		blocked, why := b.heldWith(b.ready(b.heron.ID, e.ID))
		if why.Print != "1/3 The whole estuary" || why.Conflict != nil || !strings.Contains(blocked, "1/3 The whole estuary: ") {
			t.Errorf("%q; %+v", blocked, why)
		}
	})
	t.Run("no service for the zone", func(t *testing.T) {
		b := newBed(t)
		blocked, why := b.heldWith(b.abroadSale())
		if why.Rule != "service.destination" || !strings.Contains(blocked, "does not go abroad") || why.Conflict != nil {
			t.Errorf("%q; %+v", blocked, why)
		}
	})
	t.Run("house rules that contradict each other", func(t *testing.T) {
		b := newBed(t)
		b.changeSettings(func(s *studio.Settings) {
			s.Rules = append(s.Rules, packing.Rule{ID: "cheap", Text: "the fine grade goes by ground", When: packing.When{Grades: []string{"fine"}}, Then: packing.Then{OnlyClasses: []string{"ground"}}})
		})
		b.must(b.CountSheets(b.ctx, b.reeds.ID, 3, "first count"))
		blocked, why := b.heldWith(b.ready(b.reeds.ID))
		want := []string{"the fine grade always goes by the better class", "the fine grade goes by ground"} // the first is the studio's own
		for _, text := range want {
			if !strings.Contains(blocked, "“"+text+"”") {
				t.Errorf("%q does not name %q", blocked, text)
			}
		}
		if len(why.Conflict) != 2 || why.Conflict[0] != want[0] || why.Conflict[1] != want[1] {
			t.Errorf("in conflict: %q", why.Conflict)
		}
	})
}

// An empty shelf holds every order that needs it, with the reason, and fails nothing.
func TestEmptyShelf(t *testing.T) {
	b := newBed(t)
	v := b.ready(b.heron.ID)
	for _, it := range b.shelf() {
		b.must(b.CountShelf(b.ctx, it.ID, 0, "all is gone"))
	}
	plan, err := b.Plan(b.ctx, v.ID, calendar.Day{})
	b.must(err)
	why := plan.Why().Orders[0]
	if why.Order != v.Mark || why.Held == "" || why.Conflict != nil || !strings.HasPrefix(why.Rule, "shelf.") && !strings.HasPrefix(why.Rule, "house.") {
		t.Errorf("%+v", why)
	}
	if task := b.packTasks()[v.Mark]; task.Blocked == "" {
		t.Errorf("the bench says nothing: %+v", task)
	}
}

// A card with a hole in its prices is refused when it is loaded, with the place; a dash in it is no hole, and
// holds only the orders that it concerns.
func TestTariffWithHoles(t *testing.T) {
	hole := invented()
	hole.ID, hole.From = "invented-2", calendar.Date(2026, 2, 1)
	rows := hole.Services[0].Prices.Rows
	rows[0].Mass, rows[1].Mass = rows[1].Mass, rows[0].Mass
	if err := hole.Check("card"); err == nil || !strings.Contains(err.Error(), "card.services[0]") {
		t.Errorf("a table that goes down is told as %v", err)
	}
	b := newBed(t)
	v := b.ready(b.heron.ID)
	light := b.ready(b.card.ID)
	plan, err := b.Plan(b.ctx, v.ID, calendar.Day{})
	b.must(err)
	p := plan.Problem
	small, err := b.Plan(b.ctx, light.ID, calendar.Day{})
	b.must(err)
	p.Orders = append(p.Orders, small.Problem.Orders...)
	lightest := measure.Mass(p.Orders[1].Sheets[0].EachMass()) + 3*measure.Ounce
	for i := range p.Cards {
		p.Cards[i].Services = append([]tariff.Service{}, p.Cards[i].Services...)
		for j := range p.Cards[i].Services {
			p.Cards[i].Services[j].Prices.Rows = []tariff.Row{
				{Mass: lightest, Prices: []tariff.Cell{400}}, {Mass: 70 * measure.Pound, Prices: []tariff.Cell{tariff.NotCarried}},
			}
		}
	}
	got, err := b.PlanProblem(b.ctx, p)
	b.must(err)
	why := studio.WhyPlan(p, got, measure.Imperial)
	for _, o := range why.Orders {
		switch o.Order {
		case v.Mark:
			if o.Rule != "price.dash" || o.Print != "1/5 Heron at dusk" {
				t.Errorf("the heavy order: %+v", o)
			}
		case light.Mark:
			if o.Held != "" || len(o.Parcels) != 1 {
				t.Errorf("the light order: %+v", o)
			}
		}
	}
}
