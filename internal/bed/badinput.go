package bed

import (
	"slices"

	"solander/bench"
	"solander/book"
	"solander/calendar"
	"solander/daybench"
	"solander/dayplan"
	"solander/house"
	"solander/order"
	"solander/planning"
	"solander/pricecards"
	"solander/register"
	"solander/studio"
)

// HeldWith takes a paid, signed order of a heron and one that is bad, and returns what the bench says of the bad
// one and its plan in words. The good one must have a plan all the same.
func (b *Bed) HeldWith(bad studio.OrderView) (blocked string, why dayplan.WhyOrder) {
	b.Helper()
	good := b.Ready(b.Heron.ID)
	list, err := daybench.List(b.Ctx, b.Studio, calendar.Day{})
	b.Must(err)
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
	plan, err := planning.Plan(b.Ctx, b.Studio, bad.ID, calendar.Day{})
	b.Must(err)
	orders := plan.Why().Orders
	if len(orders) != 1 || orders[0].Order != bad.Mark {
		b.Fatalf("%+v", orders)
	}
	return blocked, orders[0]
}

// AbroadSale is a paid, signed heron to Canada, whither the invented card has no service.
func (b *Bed) AbroadSale() studio.OrderView {
	b.Helper()
	in := b.Sale()
	in.ShipTo = order.Address{Name: "Noor Vass", Line1: "3 Dock Street", City: "Halifax", Region: "NS", Postcode: "B3H 1A1", Country: "CA"}
	v := b.Take(in)
	b.Must(book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: v.ID, Amount: v.Owed}))
	b.Must(register.Sign(b.Ctx, b.Studio, LineIDs(v)))
	return b.Order(v.ID)
}

// GoesAbroadTo lets a service go to one country abroad, and to no other: what goes elsewhere has a price list, and is not in it.
func (b *Bed) GoesAbroadTo(country string) {
	b.Helper()
	c, abroad := Invented(), true
	c.ID, c.Series, c.Services = "invented-abroad", "invented-abroad", slices.Clone(c.Services[:1])
	c.Services[0].ID, c.Services[0].Name, c.Services[0].Abroad, c.Services[0].Countries = "abroad", "Test abroad", &abroad, []string{country}
	b.Must(pricecards.AddCard(b.Ctx, b.Studio, c))
}

func (b *Bed) ChangeSettings(change func(*studio.Settings)) {
	b.Helper()
	b.Must(house.ChangeSettings(b.Ctx, b.Studio, func(set *studio.Settings) error {
		change(set)
		return nil
	}))
}
