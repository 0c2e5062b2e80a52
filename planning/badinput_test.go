package planning_test

import (
	"slices"
	"strings"
	"testing"

	"solander/calendar"
	"solander/dayplan"
	"solander/edition"
	"solander/internal/bed"
	"solander/measure"
	"solander/packing"
	"solander/planning"
	"solander/stockroom"
	"solander/studio"
	"solander/tariff"
)

// What is wrong with one order is told with the order and the print, and stops no other order.
func TestBadInputHoldsOneOrder(t *testing.T) {
	t.Run("impossible sheet", func(t *testing.T) {
		b := bed.New(t)
		vast := bed.Heron()
		vast.Width, vast.Height, vast.TightestRoll, vast.Limit, vast.Proofs, vast.Steps = 90*measure.Inch, 120*measure.Inch, 0, 3, edition.Proofs{}, nil
		e := b.Declare("The whole estuary", vast)
		b.Must(stockroom.CountSheets(b.Ctx, b.Studio, e.ID, 2, "first count"))
		blocked, why := b.HeldWith(b.Ready(b.Heron.ID, e.ID))
		if why.Print != "1/3 The whole estuary" || why.Conflict != nil || !strings.Contains(blocked, "1/3 The whole estuary: ") {
			t.Errorf("%q; %+v", blocked, why)
		}
	})
	t.Run("no service for the zone", func(t *testing.T) {
		b := bed.New(t)
		b.GoesAbroadTo("IE")
		blocked, why := b.HeldWith(b.AbroadSale())
		if why.Rule != "service.destination" || !strings.Contains(blocked, "does not go abroad") || why.Conflict != nil {
			t.Errorf("%q; %+v", blocked, why)
		}
	})
	t.Run("house rules that contradict each other", func(t *testing.T) {
		b := bed.New(t)
		b.ChangeSettings(func(s *studio.Settings) { // neither rule applies to all that the other one does: they may stand side by side
			long := 60 * measure.Inch
			s.Rules = append(s.Rules, packing.Rule{ID: "cheap", Text: "what is up to 60 in goes by ground", When: packing.When{LongestTo: &long}, Then: packing.Then{OnlyClasses: []string{"ground"}}})
		})
		b.Must(stockroom.CountSheets(b.Ctx, b.Studio, b.Reeds.ID, 3, "first count"))
		blocked, why := b.HeldWith(b.Ready(b.Reeds.ID))
		want := []string{"the fine grade always goes by the better class", "what is up to 60 in goes by ground"} // the first is the studio's own
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
	b := bed.New(t)
	v := b.Ready(b.Heron.ID)
	for _, it := range b.Shelf() {
		b.Must(stockroom.CountShelf(b.Ctx, b.Studio, it.ID, 0, "all is gone"))
	}
	plan, err := planning.Plan(b.Ctx, b.Studio, v.ID, calendar.Day{})
	b.Must(err)
	why := plan.Why().Orders[0]
	if why.Order != v.Mark || why.Held == "" || why.Conflict != nil || !strings.HasPrefix(why.Rule, "shelf.") && !strings.HasPrefix(why.Rule, "house.") {
		t.Errorf("%+v", why)
	}
	if task := b.PackTasks()[v.Mark]; task.Blocked == "" {
		t.Errorf("the bench says nothing: %+v", task)
	}
}

// A card with a hole in its prices is refused when it is loaded, with the place; a dash in it is no hole, and
// holds only the orders that it concerns.
func TestTariffWithHoles(t *testing.T) {
	hole := bed.Invented()
	hole.ID, hole.From = "invented-2", calendar.Date(2026, 2, 1)
	rows := hole.Services[0].Prices.Rows
	rows[0].Mass, rows[1].Mass = rows[1].Mass, rows[0].Mass
	if err := hole.Check("card"); err == nil || !strings.Contains(err.Error(), "card.services[0]") {
		t.Errorf("a table that goes down is told as %v", err)
	}
	b := bed.New(t)
	v := b.Ready(b.Heron.ID)
	light := b.Ready(b.Card.ID)
	plan, err := planning.Plan(b.Ctx, b.Studio, v.ID, calendar.Day{})
	b.Must(err)
	p := plan.Problem
	small, err := planning.Plan(b.Ctx, b.Studio, light.ID, calendar.Day{})
	b.Must(err)
	p.Orders = append(p.Orders, small.Problem.Orders...)
	lightest := measure.Mass(p.Orders[1].Sheets[0].EachMass()) + 3*measure.Ounce
	p.Cards = slices.DeleteFunc(p.Cards, func(c tariff.Card) bool { return c.ID == dayplan.UnlistedCard })
	for i := range p.Cards {
		p.Cards[i].Services = append([]tariff.Service{}, p.Cards[i].Services...)
		for j := range p.Cards[i].Services {
			p.Cards[i].Services[j].Prices.Rows = []tariff.Row{
				{Mass: lightest, Prices: []tariff.Cell{400}}, {Mass: 70 * measure.Pound, Prices: []tariff.Cell{tariff.NotCarried}},
			}
		}
	}
	got, err := planning.PlanProblem(b.Ctx, b.Studio, p)
	b.Must(err)
	why := dayplan.WhyPlan(p, got, measure.Imperial)
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
