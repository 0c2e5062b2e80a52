package studio_test

import (
	"database/sql"
	"errors"
	"testing"

	_ "modernc.org/sqlite" // the driver "sqlite", to spoil a file behind the studio's back

	"solander/calendar"
	"solander/fault"
	"solander/measure"
	"solander/money"
	"solander/order"
	"solander/packing"
	"solander/studio"
	"solander/supply"
)

func TestSetUpThatIsWrong(t *testing.T) {
	b := empty(t)
	for field, change := range map[string]func(*studio.SetUpIn){
		"studio":                  func(in *studio.SetUpIn) { in.Settings.Studio = "" },
		"currency":                func(in *studio.SetUpIn) { in.Settings.Currency = "ZZZ" },
		"time_zone":               func(in *studio.SetUpIn) { in.Settings.TimeZone = "Mars/Olympus" },
		"holidays":                func(in *studio.SetUpIn) { in.Settings.Holidays = "lunar" },
		"units":                   func(in *studio.SetUpIn) { in.Settings.Units = "cubits" },
		"mark_prefix":             func(in *studio.SetUpIn) { in.Settings.MarkPrefix = "s-" },
		"minute_wage":             func(in *studio.SetUpIn) { in.Settings.MinuteWage = -1 },
		"ship_to.postcode":        func(in *studio.SetUpIn) { in.Settings.Address.Postcode = "x" },
		"papers[0].caliper":       func(in *studio.SetUpIn) { in.Settings.Papers[0].Caliper = 0 },
		"outlets":                 func(in *studio.SetUpIn) { in.Outlets = nil },
		"outlets[1].fee":          func(in *studio.SetUpIn) { in.Outlets[1].FeePermille = 1001 },
		"outlets[1].fee_fixed":    func(in *studio.SetUpIn) { in.Outlets[1].FeeFixed = money.Of(1, "EUR") },
		"shelf[0].spec.width":     func(in *studio.SetUpIn) { in.Shelf[0].Spec.Width = 0 },
		"shelf[0].stock":          func(in *studio.SetUpIn) { in.Shelf[0].Stock = -1 },
		"wraps[0].layers[0].kind": func(in *studio.SetUpIn) { in.Settings.Wraps[0].Layers[0].Kind = "blanket" },
		"rules[0].then":           func(in *studio.SetUpIn) { in.Settings.Rules[0].Then = packing.Then{} },
		"title":                   func(in *studio.SetUpIn) { in.Work.Title = "" },
		"width":                   func(in *studio.SetUpIn) { in.Edition.Width = 0 },
		"sheets":                  func(in *studio.SetUpIn) { in.Sheets = -1 },
	} {
		t.Run(field, func(t *testing.T) {
			b := *b
			b.TB = t
			in := firstStudio(b.Studio)
			change(&in)
			b.refused(b.SetUp(b.ctx, in), fault.Invalid, field, "")
			if set, err := b.Settings(b.ctx); err != nil || set.Ready() {
				t.Errorf("something of it was kept (%v)", err)
			}
		})
	}
	_, err := b.TakeOrder(b.ctx, b.sale0())
	b.refused(err, fault.Refused, "", "not set up")
	b.must(b.SetUp(b.ctx, firstStudio(b.Studio)))
	b.refused(b.SetUp(b.ctx, firstStudio(b.Studio)), fault.Refused, "", "set up already")
	b.sound()
}

// sale0 is a sale that is right in itself, for a studio that is not there.
func (b *bed) sale0() studio.Sale {
	return studio.Sale{Outlet: 1, Buyer: order.Buyer{Name: "Ada"}, ShipTo: home(), Lines: []studio.SaleLine{{Edition: 1}}}
}

func TestSetUpWithoutAWork(t *testing.T) {
	b := empty(t)
	in := firstStudio(b.Studio)
	in.Work.Title, in.Edition.Paper, in.Edition.Width, in.Edition.Height, in.Sheets = "", "", 0, 0, 0
	b.must(b.SetUp(b.ctx, in))
	if works, err := b.Works(b.ctx); err != nil || len(works) != 0 {
		t.Errorf("%d works (%v)", len(works), err)
	}
	if items := b.shelf(); len(items) != len(in.Shelf) || items["tube-24x3"].Stock != 50 {
		t.Errorf("%d shelf items", len(items))
	}
}

// The defaults are a packing problem that the planner takes, for every size of print they speak of.
func TestDefaultsArePackable(t *testing.T) {
	b := newBed(t)
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
		e := heron()
		e.Work, e.Width, e.Height, e.Limit, e.Proofs, e.Steps = b.heron.Work, c.w, c.h, 0, b.card.Proofs, nil
		e.Paper = "for " + e.Size(measure.Imperial)
		e, err := b.Declare(b.ctx, e)
		b.must(err)
		v := b.paid(e.ID)
		plan, err := b.Plan(b.ctx, v.ID, calendar.Day{})
		b.must(err)
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
	b := newBed(t)
	set, err := b.Settings(b.ctx)
	b.must(err)
	eur := set
	eur.Currency = "EUR"
	b.refused(b.ChangeSettings(b.ctx, whole(eur)), fault.Refused, "currency", "USD")
	lost := set
	lost.Wraps = append([]packing.Wrap(nil), set.Wraps...)
	lost.Wraps[0].Layers = append([]packing.Layer(nil), lost.Wraps[0].Layers...)
	lost.Wraps[0].Layers[1].Items = []string{"no-such-envelope"}
	b.refused(b.ChangeSettings(b.ctx, whole(lost)), fault.Invalid, "wraps[0].layers[1].items[0]", "not on the shelf")
	said := fault.All(b.ChangeSettings(b.ctx, whole(lost)))[0].Error()
	if want := `the wrap “flat in two stiff envelopes”, layer 2 (envelope): "no-such-envelope" is not on the shelf`; !contains(said, want) {
		b.Errorf("it says %q, want %q", said, want)
	}
	set.ClosedDays = []calendar.Day{calendar.Date(2026, 3, 5)}
	set.MarkPrefix = "W"
	b.must(b.ChangeSettings(b.ctx, whole(set)))
	if v := b.take(b.sale()); v.Promised != calendar.Date(2026, 3, 10) || !contains(v.Mark, "W-") {
		t.Errorf("%s is promised for %s; a closed day is no working day", v.Mark, v.Promised)
	}
}

func TestToday(t *testing.T) {
	b := newBed(t)
	b.clock.now = b.clock.now.Add(10 * 3600e9) // 03:00 UTC on the 5th is still the 4th in New York
	if d, err := b.Today(b.ctx); err != nil || d != calendar.Date(2026, 3, 4) {
		t.Errorf("today is %s (%v)", d, err)
	}
}

func TestOutletsAndShelf(t *testing.T) {
	b := newBed(t)
	_, err := b.SaveOutlet(b.ctx, order.Outlet{Name: "Own shop"})
	b.refused(err, fault.Taken, "", "")
	_, err = b.SaveOutlet(b.ctx, order.Outlet{ID: 99, Name: "Nowhere"})
	b.refused(err, fault.Missing, "", "")
	_, err = b.SaveOutlet(b.ctx, order.Outlet{Name: "Fair", PromiseDays: -1})
	b.refused(err, fault.Invalid, "promise_days", "")
	b.market.Closed = true
	_, err = b.SaveOutlet(b.ctx, b.market)
	b.must(err)
	in := b.sale()
	in.Outlet = b.market.ID
	_, err = b.TakeOrder(b.ctx, in)
	b.refused(err, fault.Refused, "outlet", "closed")

	it := b.shelf()["tube-24x3"]
	b.refused(b.Restock(b.ctx, it.ID, 0, nil), fault.Invalid, "pieces", "")
	b.refused(b.Restock(b.ctx, 99, 1, nil), fault.Missing, "", "")
	b.refused(b.Restock(b.ctx, it.ID, 1, ptr(money.Of(1, "EUR"))), fault.Invalid, "unit_cost", "")
	b.must(b.Restock(b.ctx, it.ID, 25, ptr(usd(1_99))))
	if now := b.shelf()["tube-24x3"]; now.Stock != 75 || now.Spec.Cost != 199 {
		t.Errorf("%d pieces at %d", now.Stock, now.Spec.Cost)
	}
	b.must(b.Undo(b.ctx, b.latest(studio.MarkRestocked).ID))
	if now := b.shelf()["tube-24x3"]; now.Stock != 50 || now.Spec.Cost != it.Spec.Cost {
		t.Errorf("%d pieces at %d after undoing", now.Stock, now.Spec.Cost)
	}
	it.Spec.ID = "another-key"
	_, err = b.SaveShelfItem(b.ctx, it)
	b.refused(err, fault.Refused, "spec.id", "key")
	it.Spec.ID, it.Spec.Diameter = "tube-24x3", 0
	_, err = b.SaveShelfItem(b.ctx, it)
	b.refused(err, fault.Invalid, "spec.diameter", "")
	moves, err := b.Moves(b.ctx, supply.Packaging, it.ID)
	b.must(err)
	if len(moves) != 3 || moves[0].Delta != -25 || moves[1].Delta != 25 || moves[1].Who != "tester" {
		t.Errorf("moves %+v", moves)
	}
	_, err = b.Moves(b.ctx, "money", 1)
	b.refused(err, fault.Invalid, "kind", "")
	b.sound()
}

// behind changes the file behind the studio's back.
func (b *bed) behind(statement string) {
	b.Helper()
	db, err := sql.Open("sqlite", b.path)
	b.must(err)
	_, err = db.Exec(statement)
	b.must(errors.Join(err, db.Close()))
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
		{"order", "UPDATE orders SET state = 'closed' WHERE id = 1", "order S-1001", "not sent"},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := newBed(t)
			b.packed(b.heron.ID)
			b.sound()
			b.behind(c.statement)
			found, err := b.Check(b.ctx)
			b.must(err)
			for _, f := range found {
				if contains(f.Where, c.where) && contains(f.What, c.what) && f.Mend != "" {
					return
				}
			}
			t.Errorf("check found %+v", found)
		})
	}
}
