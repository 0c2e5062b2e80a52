package house_test

import (
	"slices"
	"strings"
	"testing"

	"solander/book"
	"solander/calendar"
	"solander/charging"
	"solander/daybench"
	"solander/dayplan"
	"solander/edition"
	"solander/internal/bed"
	"solander/measure"
	"solander/money"
	"solander/order"
	"solander/packing"
	"solander/planning"
	"solander/pricecards"
	"solander/register"
	"solander/stockroom"
	"solander/studio"
	"solander/tariff/cards"
)

// A studio in each country whose cards are bundled is set up in its own money and millimetres, and plans a day: small and
// large prints, home and, where the card goes there, abroad. Sources of the prices: the card of the country; the service and
// the postage of each parcel were read off its tables by hand.
func TestAStudioInEachCountryPlansADay(t *testing.T) {
	type parcel struct {
		print   int // of the sizes below
		to      string
		service string
		postage int64
	}
	all, err := cards.All()
	if err != nil {
		t.Fatal(err)
	}
	to := map[string]order.Address{
		"DE": {Name: "Ada Quill", Line1: "Am Wehr 3", City: "Weimar", Postcode: "99423", Country: "DE"},
		"FR": {Name: "Ada Quill", Line1: "3 rue du Moulin", City: "Lyon", Postcode: "69001", Country: "FR"},
		"GB": {Name: "Ada Quill", Line1: "14 Tide Lane", City: "Whitby", Postcode: "YO22 4PT", Country: "GB"},
		"NO": {Name: "Ada Quill", Line1: "Elvegata 3", City: "Bergen", Postcode: "5003", Country: "NO"},
		"US": {Name: "Ada Quill", Line1: "8 Quince Lane", City: "Pinfold", Region: "PA", Postcode: "19103", Country: "US"},
	}
	sizes := [][2]measure.Length{{200, 150}, {300, 200}, {700, 500}, {450, 350}, {1000, 700}}
	for country, c := range map[string]struct {
		currency, zone, card string
		day                  calendar.Day // within the card
		parcels              []parcel
		held                 []parcel
	}{
		"DE": {"EUR", "Europe/Berlin", "de-deutsche-post-2022-07-01", calendar.Date(2022, 8, 1), []parcel{
			{0, "DE", "grossbrief", 160},
			{1, "DE", "grossbrief", 160},
			{2, "DE", "paket-10kg", 699},
			{3, "DE", "paket-10kg", 699},
			{0, "FR", "what the counter offers", 0},
		}, nil},
		"FR": {"EUR", "Europe/Paris", "fr-la-poste-2023-01-01", calendar.Date(2023, 3, 1), []parcel{
			{0, "FR", "lettre-verte", 400},
			{1, "FR", "lettre-verte", 400},
			{2, "FR", "colissimo-domicile", 955},
			{3, "FR", "colissimo-domicile", 760},
			{0, "DE", "what the counter offers", 0},
		}, []parcel{{print: 4, to: "FR"}}},
		"GB": {"GBP", "Europe/London", dayplan.UnlistedCard, calendar.Date(2026, 3, 1), []parcel{ // nobody has typed its prices
			{0, "GB", "what the counter offers", 0}, {2, "FR", "what the counter offers", 0}, {4, "US", "what the counter offers", 0},
		}, nil},
		"NO": {"NOK", "Europe/Oslo", "no-posten-letters-2021-01-04", calendar.Date(2021, 3, 1), []parcel{
			{0, "NO", "brev-b4-2cm", 4500},
			{0, "DE", "brev-b4-2cm", 5900},
			{0, "US", "brev-b4-2cm", 7200},
			{1, "NO", "brev-b4-2cm", 4500},
			{2, "NO", "brev-larger", 9000},
			{2, "US", "brev-larger", 14000},
		}, nil},
	} {
		t.Run(country, func(t *testing.T) {
			b := bed.Empty(t)
			b.Clock.Set(c.day.Civil())
			b.Studio = studio.New(b.Open(b.Path), studio.Options{Clock: b.Clock.Now, Cards: studio.Given(all)})
			in := bed.FirstStudio().MeasuredIn(measure.Metric)
			for i := range in.Shelf {
				in.Shelf[i].Stock = 50
			}
			set := &in.Settings
			set.Margin = packing.Margin{}
			set.Address, set.Currency, set.TimeZone, set.Holidays = to[country], c.currency, c.zone, "none"
			set.Rules, _, err = b.Studio.RulesByCards(*set, c.day)
			b.Must(err)
			if slices.ContainsFunc(set.Rules, func(r packing.Rule) bool { return len(r.Then.OnlyClasses) > 0 }) {
				t.Errorf("rules of another country's classes stay: %+v", set.Rules)
			}
			in.Outlets[1].Fees = charging.Simple(650, money.Of(20, c.currency))
			in.Edition.Price, in.Edition.Steps, in.Edition.PrintCost = money.Of(80_00, c.currency), nil, money.Amount{}
			b.SetUp(in)
			var eds []edition.Edition
			for i, s := range sizes {
				e := bed.Heron()
				e.Width, e.Height, e.Limit, e.Proofs, e.Steps = s[0]*measure.Millimetre, s[1]*measure.Millimetre, 0, edition.Proofs{}, nil
				e.Price, e.PrintCost = money.Of(80_00, c.currency), money.Amount{}
				e = b.Declare([]string{"Low tide", "Weir", "Reeds", "Ebb", "Flood"}[i], e)
				b.Must(stockroom.CountSheets(b.Ctx, b.Studio, e.ID, 20, "counted"))
				eds = append(eds, e)
			}
			sold := func(p parcel) studio.OrderView {
				sale := b.Sale()
				sale.ShipTo, sale.Postage, sale.Lines = to[p.to], money.Amount{}, []book.SaleLine{{Edition: eds[p.print].ID}}
				v := b.Take(sale)
				b.Must(book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: v.ID, Amount: v.Owed}))
				b.Must(register.Sign(b.Ctx, b.Studio, bed.LineIDs(v)))
				return b.Order(v.ID)
			}
			var orders []studio.OrderView
			for _, p := range c.parcels {
				orders = append(orders, sold(p))
			}
			for _, p := range c.held {
				v := sold(p)
				plan, err := planning.Plan(b.Ctx, b.Studio, v.ID, calendar.Day{})
				b.Must(err)
				if plan.Plan.Held != 1 {
					t.Errorf("print %d goes to %s, where the card does not go, or as a roll that it does not take: %+v", p.print, p.to, plan.Plan.Parcels)
				}
				b.Must(book.Cancel(b.Ctx, b.Studio, book.CancelIn{Order: v.ID, Reason: "not sold abroad"}))
			}
			for _, late := range []bool{false, true} {
				if late { // the card has ended: it prices, and says so
					b.Clock.Set(2026, 3, 4)
				}
				for i, p := range c.parcels {
					plan, err := planning.Plan(b.Ctx, b.Studio, orders[i].ID, calendar.Day{})
					b.Must(err)
					if plan.Plan.Held != 0 || len(plan.Plan.Parcels) != 1 || plan.Plan.Currency != c.currency || plan.Units != measure.Metric {
						t.Errorf("print %d to %s: %+v", p.print, p.to, plan.Plan.Orders)
						continue
					}
					got := plan.Plan.Parcels[0]
					if got.Card != c.card && p.service != "what the counter offers" || got.Service != p.service || postageOf(got) != p.postage {
						t.Errorf("print %d to %s goes by %s/%s for %d, want %s for %d (%v %v)", p.print, p.to, got.Card, got.Service, postageOf(got), p.service, p.postage, got.Mass, got.Size)
					}
					unlisted := got.Card == dayplan.UnlistedCard
					if says := slices.ContainsFunc(plan.Plan.Warnings, func(w packing.Warning) bool { return strings.Contains(w.Text, "postage is not counted") }); says != unlisted {
						t.Errorf("print %d: without a price list %v, and it says %v", p.print, unlisted, plan.Plan.Warnings)
					}
					if ended := slices.ContainsFunc(plan.Plan.Warnings, func(w packing.Warning) bool { return w.Code == "card.ended" }); ended != (late && !unlisted) {
						t.Errorf("print %d: past its end %v, and it says %v", p.print, late, plan.Plan.Warnings)
					}
				}
			}
			day, err := daybench.List(b.Ctx, b.Studio, calendar.Day{})
			b.Must(err)
			if day.Open != len(c.parcels) {
				t.Errorf("%d orders on the bench, want %d", day.Open, len(c.parcels))
			}
			b.Sound()
			list, err := pricecards.Cards(b.Ctx, b.Studio)
			b.Must(err)
			for _, i := range list {
				if i.Used != strings.HasPrefix(i.ID, c.card) {
					t.Errorf("%s is used: %v", i.ID, i.Used)
				}
			}
		})
	}
}

// postageOf is what the operator is paid for a parcel.
func postageOf(p packing.Parcel) int64 {
	total := int64(0)
	for _, l := range p.Lines {
		if l.OfCard() {
			total += l.Amount
		}
	}
	return total
}
