package house_test

import (
	"testing"

	_ "modernc.org/sqlite"

	"solander/book"
	"solander/calendar"
	"solander/charging"
	"solander/dispatch"
	"solander/fault"
	"solander/house"
	"solander/internal/bed"
	"solander/measure"
	"solander/money"
	"solander/order"
	"solander/packing"
	"solander/planning"
	"solander/register"
	"solander/stockroom"
	"solander/studio"
	"solander/supply"
)

func TestSetUpThatIsWrong(t *testing.T) {
	b := bed.Empty(t)
	for field, change := range map[string]func(*house.SetUpIn){
		"studio":                   func(in *house.SetUpIn) { in.Settings.Studio = "" },
		"currency":                 func(in *house.SetUpIn) { in.Settings.Currency = "ZZZ" },
		"time_zone":                func(in *house.SetUpIn) { in.Settings.TimeZone = "Mars/Olympus" },
		"holidays":                 func(in *house.SetUpIn) { in.Settings.Holidays = "lunar" },
		"units":                    func(in *house.SetUpIn) { in.Settings.Units = "cubits" },
		"mark_prefix":              func(in *house.SetUpIn) { in.Settings.MarkPrefix = "s-" },
		"minute_wage":              func(in *house.SetUpIn) { in.Settings.MinuteWage = -1 },
		"ship_to.postcode":         func(in *house.SetUpIn) { in.Settings.Address.Postcode = "x" },
		"papers[0].caliper":        func(in *house.SetUpIn) { in.Settings.Papers[0].Caliper = 0 },
		"outlets":                  func(in *house.SetUpIn) { in.Outlets = nil },
		"outlets[1].fees[0].share": func(in *house.SetUpIn) { in.Outlets[1].Fees = charging.Simple(10_001, money.Amount{}) },
		"outlets[1].fees[0].fixed": func(in *house.SetUpIn) { in.Outlets[1].Fees = charging.Simple(0, money.Of(1, "EUR")) },
		"shelf[0].spec.width":      func(in *house.SetUpIn) { in.Shelf[0].Spec.Width = 0 },
		"shelf[0].stock":           func(in *house.SetUpIn) { in.Shelf[0].Stock = -1 },
		"wraps[0].layers[0].kind":  func(in *house.SetUpIn) { in.Settings.Wraps[0].Layers[0].Kind = "blanket" },
		"rules[0].then":            func(in *house.SetUpIn) { in.Settings.Rules[0].Then = packing.Then{} },
		"title":                    func(in *house.SetUpIn) { in.Work.Title = "" },
		"width":                    func(in *house.SetUpIn) { in.Edition.Width = 0 },
		"sheets":                   func(in *house.SetUpIn) { in.Sheets = -1 },
	} {
		t.Run(field, func(t *testing.T) {
			b := *b
			b.TB = t
			in := bed.FirstStudio()
			change(&in)
			b.Refused(house.SetUp(b.Ctx, b.Studio, in), fault.Invalid, field, "")
			if set, err := b.Settings(b.Ctx); err != nil || set.Ready() {
				t.Errorf("something of it was kept (%v)", err)
			}
		})
	}
	_, err := book.TakeOrder(b.Ctx, b.Studio, b.Sale0())
	b.Refused(err, fault.Refused, "", "not set up")
	b.Must(house.SetUp(b.Ctx, b.Studio, bed.FirstStudio()))
	b.Refused(house.SetUp(b.Ctx, b.Studio, bed.FirstStudio()), fault.Refused, "", "set up already")
	b.Sound()
}

func TestSetUpWithoutAWork(t *testing.T) {
	b := bed.Empty(t)
	in := bed.FirstStudio()
	in.Work.Title, in.Edition.Paper, in.Edition.Width, in.Edition.Height, in.Sheets = "", "", 0, 0, 0
	b.Must(house.SetUp(b.Ctx, b.Studio, in))
	if works, err := register.Works(b.Ctx, b.Studio); err != nil || len(works) != 0 {
		t.Errorf("%d works (%v)", len(works), err)
	}
	if items := b.Shelf(); len(items) != len(in.Shelf) || items["tube-24x3"].Stock != 50 {
		t.Errorf("%d shelf items", len(items))
	}
}

// The defaults are a packing problem that the planner takes, for every size of print they speak of.
func TestDefaultsArePackable(t *testing.T) {
	b := bed.New(t)
	for _, c := range []struct {
		w, h measure.Length
		wrap string
	}{
		{5 * measure.Inch, 7 * measure.Inch, "double-envelope"},
		{8 * measure.Inch, 10 * measure.Inch, "double-envelope"},
		{9 * measure.Inch, 12 * measure.Inch, "double-envelope"},
		{11 * measure.Inch, 14 * measure.Inch, "double-envelope"},
		{12 * measure.Inch, 16 * measure.Inch, "double-envelope"},
		{13 * measure.Inch, 19 * measure.Inch, "double-envelope"},
		{16 * measure.Inch, 20 * measure.Inch, ""}, // flat or rolled: a question of money
		{18 * measure.Inch, 24 * measure.Inch, ""},
		{24 * measure.Inch, 36 * measure.Inch, "tube"},
	} {
		e := bed.Heron()
		e.Work, e.Width, e.Height, e.Limit, e.Proofs, e.Steps = b.Heron.Work, c.w, c.h, 0, b.Card.Proofs, nil
		e.Paper = "for " + e.Size(measure.Imperial)
		e, err := register.Declare(b.Ctx, b.Studio, e)
		b.Must(err)
		v := b.Paid(e.ID)
		plan, err := planning.Plan(b.Ctx, b.Studio, v.ID, calendar.Day{})
		b.Must(err)
		if plan.Plan.Held != 0 || plan.Plan.Status != packing.Optimal {
			t.Errorf("%s is held: %+v", e.Size(measure.Imperial), plan.Plan.Orders)
			continue
		}
		if got := plan.Plan.Parcels[0].Wrap; c.wrap != "" && got != c.wrap {
			t.Errorf("%s goes as %s, want %s", e.Size(measure.Imperial), got, c.wrap)
		}
	}
}

func TestSettings(t *testing.T) {
	b := bed.New(t)
	set, err := b.Settings(b.Ctx)
	b.Must(err)
	eur := set
	eur.Currency = "EUR"
	b.Refused(house.ChangeSettings(b.Ctx, b.Studio, studio.Whole(eur)), fault.Refused, "currency", "USD")
	lost := set
	lost.Wraps = append([]packing.Wrap(nil), set.Wraps...)
	lost.Wraps[0].Layers = append([]packing.Layer(nil), lost.Wraps[0].Layers...)
	lost.Wraps[0].Layers[1].Items = []string{"no-such-envelope"}
	b.Refused(house.ChangeSettings(b.Ctx, b.Studio, studio.Whole(lost)), fault.Invalid, "wraps[0].layers[1].items[0]", "not on the shelf")
	said := fault.All(house.ChangeSettings(b.Ctx, b.Studio, studio.Whole(lost)))[0].Error()
	if want := `the wrap “flat in two stiff envelopes”, layer 2 (envelope): "no-such-envelope" is not on the shelf`; !bed.Contains(said, want) {
		b.Errorf("it says %q, want %q", said, want)
	}
	set.ClosedDays = []calendar.Day{calendar.Date(2026, 3, 5)}
	set.MarkPrefix = "W"
	b.Must(house.ChangeSettings(b.Ctx, b.Studio, studio.Whole(set)))
	if v := b.Take(b.Sale()); v.Promised != calendar.Date(2026, 3, 10) || !bed.Contains(v.Mark, "W-") {
		t.Errorf("%s is promised for %s; a closed day is no working day", v.Mark, v.Promised)
	}
}

func TestToday(t *testing.T) {
	b := bed.New(t)
	b.Clock.Instant = b.Clock.Instant.Add(10 * 3600e9) // 03:00 UTC on the 5th is still the 4th in New York
	if d, err := house.Today(b.Ctx, b.Studio); err != nil || d != calendar.Date(2026, 3, 4) {
		t.Errorf("today is %s (%v)", d, err)
	}
}

func TestOutletsAndShelf(t *testing.T) {
	b := bed.New(t)
	_, err := house.SaveOutlet(b.Ctx, b.Studio, order.Outlet{Name: "Own shop"})
	b.Refused(err, fault.Taken, "", "")
	_, err = house.SaveOutlet(b.Ctx, b.Studio, order.Outlet{ID: 99, Name: "Nowhere"})
	b.Refused(err, fault.Missing, "", "")
	_, err = house.SaveOutlet(b.Ctx, b.Studio, order.Outlet{Name: "Fair", PromiseDays: -1})
	b.Refused(err, fault.Invalid, "promise_days", "")
	b.Market.Closed = true
	_, err = house.SaveOutlet(b.Ctx, b.Studio, b.Market)
	b.Must(err)
	in := b.Sale()
	in.Outlet = b.Market.ID
	_, err = book.TakeOrder(b.Ctx, b.Studio, in)
	b.Refused(err, fault.Refused, "outlet", "closed")

	it := b.Shelf()["tube-24x3"]
	b.Refused(stockroom.Restock(b.Ctx, b.Studio, it.ID, 0, nil), fault.Invalid, "pieces", "")
	b.Refused(stockroom.Restock(b.Ctx, b.Studio, 99, 1, nil), fault.Missing, "", "")
	b.Refused(stockroom.Restock(b.Ctx, b.Studio, it.ID, 1, bed.Ptr(money.Of(1, "EUR"))), fault.Invalid, "unit_cost", "")
	b.Must(stockroom.Restock(b.Ctx, b.Studio, it.ID, 25, bed.Ptr(bed.USD(1_99))))
	if now := b.Shelf()["tube-24x3"]; now.Stock != 75 || now.Spec.Cost != 199 {
		t.Errorf("%d pieces at %d", now.Stock, now.Spec.Cost)
	}
	b.Must(dispatch.Undo(b.Ctx, b.Studio, b.Latest(studio.MarkRestocked).ID))
	if now := b.Shelf()["tube-24x3"]; now.Stock != 50 || now.Spec.Cost != it.Spec.Cost {
		t.Errorf("%d pieces at %d after undoing", now.Stock, now.Spec.Cost)
	}
	it.Spec.ID = "another-key"
	_, err = stockroom.SaveShelfItem(b.Ctx, b.Studio, it)
	b.Refused(err, fault.Refused, "spec.id", "key")
	it.Spec.ID, it.Spec.Diameter = "tube-24x3", 0
	_, err = stockroom.SaveShelfItem(b.Ctx, b.Studio, it)
	b.Refused(err, fault.Invalid, "spec.diameter", "")
	moves, err := stockroom.Moves(b.Ctx, b.Studio, supply.Packaging, it.ID)
	b.Must(err)
	if len(moves) != 3 || moves[0].Delta != -25 || moves[1].Delta != 25 || moves[1].Who != "tester" {
		t.Errorf("moves %+v", moves)
	}
	_, err = stockroom.Moves(b.Ctx, b.Studio, "money", 1)
	b.Refused(err, fault.Invalid, "kind", "")
	b.Sound()
}

// Check finds what no path of the program could have done.
func TestCheckFindsTampering(t *testing.T) {
	for _, c := range []struct{ name, statement, where, what string }{
		{"stock", "UPDATE stocks SET qty = qty + 1 WHERE kind = 'sheets' AND item = 1", "drawer: ", "add up to 4"},
		{"shelf", "UPDATE stocks SET qty = qty - 1 WHERE kind = 'packaging' AND item = 1", "shelf: ", "add up to 50"},
		{"projection", "DROP TRIGGER impressions_keep; UPDATE impressions SET state = 'free', line = NULL, available = 1 WHERE number = 1 AND kind = 'N' AND edition = 1", "register: ", "its entries end in signed"},
		{"counts", "UPDATE tallies SET free = free + 1 WHERE edition = 1", "register: ", "its count says"},
		{"line", "UPDATE lines SET number = 3 WHERE id = 1", "register: 1/5", "does not say so"},
		{"parcel", "UPDATE parcels SET lines = '[2]' WHERE id = 1", "parcel 1", "not to be sent with it"},
		{"planned mass", "UPDATE parcels SET bare_mass = bare_mass + 1 WHERE id = 1", "parcel 1", "without the margin are not those of its plan"},
		{"wrap", "UPDATE parcels SET wrap = 'tube' WHERE id = 1", "parcel 1", "not those of its plan"},
		{"order", "UPDATE orders SET state = 'closed' WHERE id = 1", "order S-1001", "not sent"},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := bed.New(t)
			b.Packed(b.Heron.ID)
			b.Sound()
			b.Behind(c.statement)
			found, err := house.Check(b.Ctx, b.Studio)
			b.Must(err)
			for _, f := range found {
				if bed.Contains(f.Where, c.where) && bed.Contains(f.What, c.what) && f.Mend != "" {
					return
				}
			}
			t.Errorf("check found %+v", found)
		})
	}
}
