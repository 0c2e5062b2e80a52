package studio_test

import (
	"context"
	"fmt"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"solander/calendar"
	"solander/edition"
	"solander/fault"
	"solander/measure"
	"solander/money"
	"solander/order"
	"solander/studio"
	"solander/tariff"

	"solander/store"
)

// bed is a set-up studio on a real store in a temporary folder, with a clock that the test moves.
type bed struct {
	testing.TB
	*studio.Studio
	ctx    context.Context
	path   string
	clock  *clock
	own    order.Outlet // no fees
	market order.Outlet // fees, collects tax
	heron  edition.Edition
	reeds  edition.Edition // numbered, fewer than heron
	card   edition.Edition // open
}

type clock struct {
	mu  sync.Mutex
	now time.Time
}

func (c *clock) Now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.now
}

func (c *clock) set(y int, m time.Month, d int) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.now = time.Date(y, m, d, 17, 0, 0, 0, time.UTC)
}

// usd is an amount in cents.
func usd(cents int64) money.Amount { return money.Of(cents, "USD") }

func ptr[T any](v T) *T { return &v }

// invented is a price card for tests: two classes, one price a step everywhere in the country.
func invented() tariff.Card {
	service := func(id string, light, heavy tariff.Cell, days int) tariff.Service {
		return tariff.Service{
			ID: id, Class: id, Name: "Test " + id, Tracking: true, Abroad: ptr(false),
			Days: &tariff.Days{Min: 1, Max: days, Counted: tariff.DeliveryDays},
			Prices: tariff.Prices{By: tariff.ByMass, Rows: []tariff.Row{
				{Mass: measure.Pound, Prices: []tariff.Cell{light}}, {Mass: 70 * measure.Pound, Prices: []tariff.Cell{heavy}},
			}},
			Cover: &tariff.Cover{Included: 100_00, Steps: []tariff.CoverStep{{UpTo: 1000_00, Price: 300}, {UpTo: 5000_00, Price: 900}}},
		}
	}
	return tariff.Card{
		ID: "invented-1", Series: "invented", Operator: "Invented Post", Currency: "USD", From: calendar.Date(2025, 6, 1), To: calendar.Date(2026, 12, 31),
		PriceClass: "commercial", Source: "invented for tests", Status: "invented",
		Services: []tariff.Service{service("ground", 500, 1500, 5), service("priority", 900, 2500, 3)},
	}
}

// empty opens a studio that is not set up, on Wednesday 4 March 2026.
func empty(t testing.TB) *bed {
	t.Helper()
	c := &clock{}
	c.set(2026, 3, 4)
	b := &bed{TB: t, ctx: studio.WithWho(context.Background(), "tester"), path: filepath.Join(t.TempDir(), "studio.db"), clock: c}
	b.Studio = studio.New(b.open(b.path), studio.Options{Clock: c.Now, Cards: []tariff.Card{invented()}})
	return b
}

func (b *bed) open(path string) studio.Store {
	b.Helper()
	st, err := store.Open(b.ctx, path, store.Options{Clock: b.clock.Now})
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() {
		if err := st.Close(); err != nil {
			b.Error(err)
		}
	})
	return st
}

func home() order.Address {
	return order.Address{Name: "Ada Quill", Line1: "12 Reed Lane", City: "Roanoke", Region: "VA", Postcode: "24011", Country: "US"}
}

// firstStudio is what the bed is set up with: the defaults, fifty pieces of everything, and one edition.
func firstStudio(s *studio.Studio) studio.SetUpIn {
	in := s.Defaults()
	in.Settings.Studio, in.Settings.Artist = "Wren Street Press", "Nell Marsh"
	in.Settings.Address = order.Address{Name: "Wren Street Press", Line1: "1 Wren Street", City: "Blacksburg", Region: "VA", Postcode: "24060", Country: "US"}
	in.Outlets = []order.Outlet{
		{Name: "Own shop", PromiseDays: 3},
		{Name: "The market", PromiseDays: 5, FeePermille: 65, FeeFixed: usd(20), CollectsTax: true},
	}
	for i := range in.Shelf {
		in.Shelf[i].Stock = 50
	}
	in.Work = edition.Work{Title: "Heron at dusk", Year: 2024}
	in.Edition = heron()
	in.Sheets = 4
	return in
}

func heron() edition.Edition {
	return edition.Edition{
		Width: 11 * measure.Inch, Height: 14 * measure.Inch, Paper: "cotton rag", Grammage: 310 * measure.GSM, Caliper: measure.Millimetre / 2,
		Grade: "standard", Technique: "pigment print", Limit: 5, Proofs: edition.Proofs{AP: 2, PP: 1}, TightestRoll: 3 * measure.Inch,
		Price: usd(90_00), Steps: []edition.PriceStep{{FromSold: 2, Price: usd(110_00)}, {FromSold: 4, Price: usd(150_00)}}, PrintCost: usd(9_00),
	}
}

// newBed is a set-up studio with three editions: heron (5 numbers, 4 sheets), reeds (3 numbers, no
// sheet), card (open, 10 sheets).
func newBed(t testing.TB) *bed {
	t.Helper()
	b := empty(t)
	b.setUp(firstStudio(b.Studio))

	reeds := heron()
	reeds.Limit, reeds.Proofs, reeds.Grade, reeds.Steps = 3, edition.Proofs{}, "fine", nil
	b.reeds = b.declare("Reeds in wind", reeds)
	card := heron()
	card.Limit, card.Proofs, card.Width, card.Height, card.Steps, card.Price = 0, edition.Proofs{}, 5*measure.Inch, 7*measure.Inch, nil, usd(12_00)
	b.card = b.declare("Éclat d'été", card)
	b.must(b.CountSheets(b.ctx, b.card.ID, 10, "first count"))
	return b
}

func (b *bed) setUp(in studio.SetUpIn) {
	b.Helper()
	b.must(b.SetUp(b.ctx, in))
	outlets, err := b.Outlets(b.ctx)
	b.must(err)
	b.own, b.market = outlets[0], outlets[1]
	works, err := b.Works(b.ctx)
	b.must(err)
	b.heron = works[0].Editions[0].Edition
}

func (b *bed) declare(title string, e edition.Edition) edition.Edition {
	b.Helper()
	w, err := b.SaveWork(b.ctx, edition.Work{Title: title})
	b.must(err)
	e.Work = w.ID
	e, err = b.Declare(b.ctx, e)
	b.must(err)
	return e
}

func (b *bed) must(err error) {
	b.Helper()
	if err != nil {
		b.Fatalf("unexpected: %v", deep(err))
	}
}

// deep shows causes too.
func deep(err error) string {
	text := err.Error()
	for _, f := range fault.All(err) {
		if f.Err != nil {
			text += " <- " + f.Err.Error()
		}
	}
	return text
}

// sale is one heron to Ada by the own shop, unpaid.
func (b *bed) sale() studio.Sale {
	return studio.Sale{
		Outlet: b.own.ID, Buyer: order.Buyer{Name: "Ada Quill", Email: "ada@example.org"}, ShipTo: home(),
		Lines: []studio.SaleLine{{Edition: b.heron.ID}}, Postage: usd(5_00),
	}
}

func (b *bed) take(in studio.Sale) studio.OrderView {
	b.Helper()
	v, err := b.TakeOrder(b.ctx, in)
	b.must(err)
	return v
}

// paid takes a sale of prints and pays it in full.
func (b *bed) paid(eds ...int64) studio.OrderView {
	b.Helper()
	in := b.sale()
	in.Lines = nil
	for _, ed := range eds {
		in.Lines = append(in.Lines, studio.SaleLine{Edition: ed})
	}
	v := b.take(in)
	b.must(b.Pay(b.ctx, studio.PaymentIn{Order: v.ID, Amount: v.Owed}))
	return b.order(v.ID)
}

func (b *bed) order(id int64) studio.OrderView {
	b.Helper()
	v, err := b.Order(b.ctx, id)
	b.must(err)
	return v
}

func lineIDs(v studio.OrderView) []int64 {
	var out []int64
	for _, l := range v.Live() {
		out = append(out, l.ID)
	}
	return out
}

// refused checks code, field ("" = any) and a part of the words of a fault.
func (b *bed) refused(err error, code fault.Code, field, says string) {
	b.Helper()
	if err == nil {
		b.Fatalf("it was allowed; want %s of %q", code, field)
	}
	for _, f := range fault.All(err) {
		if f.Code == code && (field == "" || f.Field == field) && contains(f.Error(), says) {
			return
		}
	}
	var got []string
	for _, f := range fault.All(err) {
		got = append(got, fmt.Sprintf("%s %q: %s", f.Code, f.Field, f))
	}
	b.Fatalf("want %s of %q saying %q, got %v", code, field, says, got)
}

func (b *bed) sheetsOf(ed int64) int {
	b.Helper()
	rows, err := b.Drawer(b.ctx)
	b.must(err)
	for _, r := range rows {
		if r.ID == ed {
			return r.OnHand
		}
	}
	b.Fatalf("edition %d is not in the drawer", ed)
	return 0
}

func (b *bed) state(ed int64, n int) edition.Standing {
	b.Helper()
	v, err := b.Number(b.ctx, ed, edition.Number{Kind: edition.Numbered, N: n})
	b.must(err)
	return v.Row.Standing
}

// sound runs check and wants no finding.
func (b *bed) sound() {
	b.Helper()
	found, err := b.Check(b.ctx)
	b.must(err)
	for _, f := range found {
		b.Errorf("check: %s: %s (%s)", f.Where, f.What, f.Mend)
	}
}

// latest returns the newest mark of a kind.
func (b *bed) latest(kind studio.MarkKind) studio.Mark {
	b.Helper()
	marks, err := b.RecentMarks(b.ctx)
	b.must(err)
	for _, m := range marks {
		if m.Kind == kind && !m.Undone {
			return m
		}
	}
	b.Fatalf("no mark of kind %s", kind)
	return studio.Mark{}
}
