// Package bed is a studio made for tests: three editions, a shelf, a buyer, and a clock that is set.
package bed

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"solander/book"
	"solander/calendar"
	"solander/charging"
	"solander/dispatch"
	"solander/edition"
	"solander/fault"
	"solander/house"
	"solander/intake/csvfile"
	"solander/measure"
	"solander/money"
	"solander/order"
	"solander/packing"
	"solander/register"
	"solander/stockroom"
	"solander/store"
	"solander/studio"
	"solander/tariff"
)

// Bed is a set-up studio on a real store in a temporary folder, with a clock that the test moves.
type Bed struct {
	testing.TB
	*studio.Studio
	Ctx    context.Context
	Path   string
	Clock  *clock
	Own    order.Outlet // no fees
	Market order.Outlet // fees, collects tax
	Heron  edition.Edition
	Reeds  edition.Edition // numbered, fewer than heron
	Card   edition.Edition // open
}

type clock struct {
	mu      sync.Mutex
	Instant time.Time
}

func (c *clock) Now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.Instant
}

func (c *clock) Set(y int, m time.Month, d int) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.Instant = time.Date(y, m, d, 17, 0, 0, 0, time.UTC)
}

// USD is an amount in cents.
func USD(cents int64) money.Amount { return money.Of(cents, "USD") }

func Ptr[T any](v T) *T { return &v }

// Invented is a price card for tests: two classes, one price a step everywhere in the country.
func Invented() tariff.Card {
	service := func(id string, light, heavy tariff.Cell, days int) tariff.Service {
		return tariff.Service{
			ID: id, Class: id, Name: "Test " + id, Tracking: true, Abroad: Ptr(false),
			Days: &tariff.Days{Min: 1, Max: days, Counted: tariff.DeliveryDays},
			Prices: tariff.Prices{By: tariff.ByMass, Rows: []tariff.Row{
				{Mass: measure.Pound, Prices: []tariff.Cell{light}}, {Mass: 70 * measure.Pound, Prices: []tariff.Cell{heavy}},
			}},
			Cover:  &tariff.Cover{Included: 100_00, Steps: []tariff.CoverStep{{UpTo: 1000_00, Price: 300}, {UpTo: 5000_00, Price: 900}}},
			Claims: &tariff.Claims{Damaged: &tariff.Window{Until: 60}, Lost: &tariff.Window{From: 15, Until: 60}},
		}
	}
	return tariff.Card{
		ID: "invented-1", Series: "invented", Operator: "Invented Post", Currency: "USD", From: calendar.Date(2025, 6, 1), To: calendar.Date(2026, 12, 31),
		PriceClass: "commercial", Source: "invented for tests", Status: "invented",
		Services: []tariff.Service{service("ground", 500, 1500, 5), service("priority", 900, 2500, 3)},
	}
}

// Empty opens a studio that is not set up, on Wednesday 4 March 2026.
func Empty(t testing.TB) *Bed {
	t.Helper()
	b := &Bed{}
	empty.begin(t, b)
	return b
}

// begin opens the studio in a folder of its own, and sets the clock.
func (b *Bed) begin(t testing.TB, file []byte) {
	t.Helper()
	c := &clock{}
	c.Set(2026, 3, 4)
	b.TB, b.Ctx, b.Clock = t, studio.WithWho(context.Background(), "tester"), c
	if b.Path == "" {
		b.Path = filepath.Join(t.TempDir(), "studio.db")
	}
	if file != nil {
		b.Must(os.WriteFile(b.Path, file, 0o600))
	}
	b.Studio = studio.New(b.Open(b.Path), studio.Options{Clock: c.Now, Cards: studio.Given([]tariff.Card{Invented()})})
}

func (b *Bed) Open(path string) studio.Store {
	b.Helper()
	st, err := store.Open(b.Ctx, path, store.Options{Clock: b.Clock.Now, Hasty: true})
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

func Home() order.Address {
	return order.Address{Name: "Ada Quill", Line1: "12 Reed Lane", City: "Roanoke", Region: "VA", Postcode: "24011", Country: "US"}
}

// FirstStudio is what the bed is set up with: the defaults without a margin, fifty pieces of everything, and one edition.
func FirstStudio() house.SetUpIn {
	in := house.Defaults(measure.Imperial)
	in.Settings.Studio, in.Settings.Artist = "Wren Street Press", "Nell Marsh"
	in.Settings.Margin = packing.Margin{} // amounts are worked by hand, without one
	in.Settings.Address = order.Address{Name: "Wren Street Press", Line1: "1 Wren Street", City: "Blacksburg", Region: "VA", Postcode: "24060", Country: "US"}
	in.Outlets = []order.Outlet{
		{Name: "Own shop", PromiseDays: 3},
		{Name: "The market", PromiseDays: 5, Fees: charging.Simple(650, USD(20)), CollectsTax: true},
	}
	for i := range in.Shelf {
		in.Shelf[i].Stock = 50
	}
	in.Work = edition.Work{Title: heronTitle, Year: 2024}
	in.Edition = Heron()
	in.Sheets = 4
	return in
}

func Heron() edition.Edition {
	return edition.Edition{
		Width: 11 * measure.Inch, Height: 14 * measure.Inch, Paper: "cotton rag", Grammage: 310 * measure.GSM, Caliper: measure.Millimetre / 2,
		Grade: "standard", Technique: "pigment print", Limit: 5, Proofs: edition.Proofs{AP: 2, PP: 1}, TightestRoll: 3 * measure.Inch,
		Price: USD(90_00), Steps: []edition.PriceStep{{FromSold: 2, Price: USD(110_00)}, {FromSold: 4, Price: USD(150_00)}}, PrintCost: USD(9_00),
	}
}

// New is a set-up studio with three editions: heron (5 numbers, 4 sheets), reeds (3 numbers, no
// sheet), card (open, 10 sheets).
func New(t testing.TB) *Bed {
	t.Helper()
	b := &Bed{}
	furnished.begin(t, b)
	return b
}

// At is New at a place of the caller's, such as a database of PostgreSQL: one that is empty is furnished, any other is such a studio already.
func At(t testing.TB, place string, empty bool) *Bed {
	t.Helper()
	b := &Bed{Path: place}
	b.begin(t, nil)
	if empty {
		b.furnish()
		return b
	}
	b.know()
	works, err := register.Works(b.Ctx, b.Studio)
	b.Must(err)
	for _, w := range works {
		switch w.Title {
		case heronTitle:
			b.Heron = w.Editions[0].Edition
		case reedsTitle:
			b.Reeds = w.Editions[0].Edition
		case cardTitle:
			b.Card = w.Editions[0].Edition
		}
	}
	return b
}

const heronTitle, reedsTitle, cardTitle = "Heron at dusk", "Reeds in wind", "Éclat d'été"

func (b *Bed) furnish() {
	b.Helper()
	b.SetUp(FirstStudio())

	reeds := Heron()
	reeds.Limit, reeds.Proofs, reeds.Grade, reeds.Steps = 3, edition.Proofs{}, "fine", nil
	b.Reeds = b.Declare(reedsTitle, reeds)
	card := Heron()
	card.Limit, card.Proofs, card.Width, card.Height, card.Steps, card.Price = 0, edition.Proofs{}, 5*measure.Inch, 7*measure.Inch, nil, USD(12_00)
	b.Card = b.Declare(cardTitle, card)
	b.Must(stockroom.CountSheets(b.Ctx, b.Studio, b.Card.ID, 10, "first count"))
}

func (b *Bed) SetUp(in house.SetUpIn) {
	b.Helper()
	b.Must(house.SetUp(b.Ctx, b.Studio, in))
	b.know()
}

// know finds the outlets, and the edition where there is one alone.
func (b *Bed) know() {
	b.Helper()
	outlets, err := house.Outlets(b.Ctx, b.Studio)
	b.Must(err)
	b.Own, b.Market = outlets[0], outlets[1]
	works, err := register.Works(b.Ctx, b.Studio)
	b.Must(err)
	b.Heron = works[0].Editions[0].Edition
}

func (b *Bed) Declare(title string, e edition.Edition) edition.Edition {
	b.Helper()
	w, err := register.SaveWork(b.Ctx, b.Studio, edition.Work{Title: title})
	b.Must(err)
	e.Work = w.ID
	e, err = register.Declare(b.Ctx, b.Studio, e)
	b.Must(err)
	return e
}

func (b *Bed) Must(err error) {
	b.Helper()
	if err != nil {
		b.Fatalf("unexpected: %v", Deep(err))
	}
}

// Deep shows causes too.
func Deep(err error) string {
	text := err.Error()
	for _, f := range fault.All(err) {
		if f.Err != nil {
			text += " <- " + f.Err.Error()
		}
	}
	return text
}

// Sale is one heron to Ada by the own shop, unpaid.
func (b *Bed) Sale() book.Sale {
	return book.Sale{
		Outlet: b.Own.ID, Buyer: order.Buyer{Name: "Ada Quill", Email: "ada@example.org"}, ShipTo: Home(),
		Lines: []book.SaleLine{{Edition: b.Heron.ID}}, Postage: USD(5_00),
	}
}

func (b *Bed) Take(in book.Sale) studio.OrderView {
	b.Helper()
	v, err := book.TakeOrder(b.Ctx, b.Studio, in)
	b.Must(err)
	return v
}

// Paid takes a sale of prints and pays it in full.
func (b *Bed) Paid(eds ...int64) studio.OrderView {
	b.Helper()
	in := b.Sale()
	in.Lines = nil
	for _, ed := range eds {
		in.Lines = append(in.Lines, book.SaleLine{Edition: ed})
	}
	v := b.Take(in)
	b.Must(book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: v.ID, Amount: v.Owed}))
	return b.Order(v.ID)
}

func (b *Bed) Order(id int64) studio.OrderView {
	b.Helper()
	v, err := book.Order(b.Ctx, b.Studio, id)
	b.Must(err)
	return v
}

func LineIDs(v studio.OrderView) []int64 {
	var out []int64
	for _, l := range v.Live() {
		out = append(out, l.ID)
	}
	return out
}

// Refused checks code, field ("" = any) and a part of the words of a fault.
func (b *Bed) Refused(err error, code fault.Code, field, says string) {
	b.Helper()
	if err == nil {
		b.Fatalf("it was allowed; want %s of %q", code, field)
	}
	for _, f := range fault.All(err) {
		if f.Code == code && (field == "" || f.Field == field) && Contains(f.Error(), says) {
			return
		}
	}
	var got []string
	for _, f := range fault.All(err) {
		got = append(got, fmt.Sprintf("%s %q: %s", f.Code, f.Field, f))
	}
	b.Fatalf("want %s of %q saying %q, got %v", code, field, says, got)
}

func (b *Bed) SheetsOf(ed int64) int {
	b.Helper()
	rows, err := stockroom.Drawer(b.Ctx, b.Studio)
	b.Must(err)
	for _, r := range rows {
		if r.ID == ed {
			return r.OnHand
		}
	}
	b.Fatalf("edition %d is not in the drawer", ed)
	return 0
}

func (b *Bed) State(ed int64, n int) edition.Standing {
	b.Helper()
	v, err := register.Number(b.Ctx, b.Studio, ed, edition.Number{Kind: edition.Numbered, N: n})
	b.Must(err)
	return v.Row.Standing
}

// Sound runs check and wants no finding.
func (b *Bed) Sound() {
	b.Helper()
	found, err := house.Check(b.Ctx, b.Studio)
	b.Must(err)
	for _, f := range found {
		b.Errorf("check: %s: %s (%s)", f.Where, f.What, f.Mend)
	}
}

// Latest returns the newest mark of a kind.
func (b *Bed) Latest(kind studio.MarkKind) studio.Mark {
	b.Helper()
	marks, err := dispatch.RecentMarks(b.Ctx, b.Studio)
	b.Must(err)
	for _, m := range marks {
		if m.Kind == kind && !m.Undone {
			return m
		}
	}
	b.Fatalf("no mark of kind %s", kind)
	return studio.Mark{}
}

// On is New at a place of any engine, which reads text files too.
func On(t testing.TB, place string) *Bed {
	t.Helper()
	b := &Bed{TB: t, Ctx: studio.WithWho(context.Background(), "tester"), Path: place, Clock: &clock{}}
	b.Clock.Set(2026, 3, 4)
	b.Studio = studio.New(b.Open(place), studio.Options{Clock: b.Clock.Now, Cards: studio.Given([]tariff.Card{Invented()}), Files: csvfile.Read})
	b.furnish()
	return b
}
