package quote_test

import (
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"solander/book"
	"solander/calendar"
	"solander/edition"
	"solander/fault"
	"solander/internal/bed"
	"solander/measure"
	"solander/money"
	"solander/planning"
	"solander/quote"
	"solander/register"
	"solander/stockroom"
	"solander/studio"
	"solander/tariff/cards"
)

func TestMain(m *testing.M) { bed.Properties(m) }

// A quote costs what an order with the same facts is planned for: by an edition or by its size, for one print or several, wherever it goes.
func TestQuoteIsThePlanOfSuchAnOrder(t *testing.T) {
	planned := 0
	property := func(rt *rapid.T) {
		b := bed.New(t)
		e := bed.Heron()
		e.Width, e.Height = measure.Length(rapid.IntRange(8, 20).Draw(rt, "width"))*measure.Inch, measure.Length(rapid.IntRange(8, 24).Draw(rt, "height"))*measure.Inch
		e.Grade = rapid.SampledFrom([]string{"fine", "standard"}).Draw(rt, "grade")
		e.Limit, e.Proofs, e.Steps = 0, edition.Proofs{}, nil
		e.Price = bed.USD(int64(rapid.IntRange(10, 400).Draw(rt, "price")) * 100)
		ed := b.Declare("Tide tables", e)
		n := rapid.IntRange(1, 4).Draw(rt, "prints")
		b.Must(stockroom.CountSheets(b.Ctx, b.Studio, ed.ID, n, "first count"))
		in := b.Sale()
		in.Lines = nil
		for range n {
			in.Lines = append(in.Lines, book.SaleLine{Edition: ed.ID})
		}
		if rapid.Bool().Draw(rt, "abroad") {
			in.ShipTo.Country, in.ShipTo.Region, in.ShipTo.Postcode, in.ShipTo.City = "CA", "ON", "K1A 0B1", "Ottawa"
		} else {
			in.ShipTo.Postcode = rapid.SampledFrom([]string{"24060", "97201", "10001", "99501"}).Draw(rt, "postcode")
		}
		ask := quote.In{Edition: ed.ID, Prints: n, Country: in.ShipTo.Country, Postcode: in.ShipTo.Postcode}
		heron := bed.Heron() // of its size there are other editions, of other grades and prices: which is meant, a size does not say
		likeHeron := min(e.Width, e.Height) == heron.Width && max(e.Width, e.Height) == heron.Height
		if rapid.Bool().Draw(rt, "by size") && !likeHeron {
			ask.Edition, ask.Size = 0, ed.Size(measure.Imperial)
		}
		a, err := quote.Ask(b.Ctx, b.Studio, ask)
		b.Must(err)
		v := b.Take(in)
		b.Must(book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: v.ID, Amount: v.Owed}))
		b.Must(register.Sign(b.Ctx, b.Studio, bed.LineIDs(v)))
		p, err := planning.Plan(b.Ctx, b.Studio, v.ID, calendar.Day{})
		b.Must(err)
		if ask.Size != "" && len(a.Assumed) < 2 {
			rt.Fatalf("nothing is said of the edition: %q", a.Assumed)
		}
		held := p.Plan.Held > 0
		if held != (a.Held != "") || a.Cost.Minor != p.Plan.Total {
			rt.Fatalf("quoted %s (%q), planned for %d (held %v)", a.Cost, a.Held, p.Plan.Total, held)
		}
		if held {
			return
		}
		planned++
		if sum := a.Packaging.Minor + a.Work.Minor + a.Postage.Minor; sum != a.Cost.Minor {
			rt.Fatalf("the parts make %d, the whole is %s", sum, a.Cost)
		}
		if a.Keeps == nil || a.Keeps.Left.Minor != int64(n)*ed.Price.Minor-int64(n)*ed.PrintCost.Minor-a.Cost.Minor || !strings.Contains(a.Words, a.Cost.String()) {
			rt.Fatalf("keeps %+v; %q", a.Keeps, a.Words)
		}
	}
	for range 20 { // the few draws of a short run may all be of what nothing takes
		if rapid.Check(t, property); planned > 0 {
			return
		}
	}
	t.Error("nothing was planned: nothing was tested")
}

// What would a 16 × 20 to Canada cost? Answered in less than a second, in words for a mail that say nothing of what she keeps.
func TestWhatWouldItCost(t *testing.T) {
	b := bed.New(t)
	all, err := cards.All()
	b.Must(err)
	s := studio.New(b.Open(b.Path), studio.Options{Clock: b.Clock.Now, Cards: studio.Given(all)})
	start := time.Now()
	worth := bed.USD(150_00)
	a, err := quote.Ask(b.Ctx, s, quote.In{Size: "16 x 20", Country: "Canada", Postcode: "K1A 0B1", Worth: &worth, Outlet: 2})
	b.Must(err)
	if took := time.Since(start); took > time.Second {
		t.Errorf("it took %v", took)
	}
	if a.Held != "" || a.Keeps == nil || len(a.Ways.Ways) == 0 {
		t.Fatalf("%+v", a)
	}
	if !strings.Contains(a.Words, "a print of 16 × 20 in to K1A 0B1, Canada costs "+a.Cost.String()) {
		t.Errorf("%q", a.Words)
	}
	if a.Keeps.Fee.Sign() <= 0 || a.Keeps.Price != worth {
		t.Errorf("keeps %+v", a.Keeps)
	}
	for _, secret := range []string{"keep", "fee", "sheet"} {
		if strings.Contains(a.Words, secret) {
			t.Errorf("a buyer would read %q", a.Words)
		}
	}
	b.GoesAbroadTo("IE")
	a, err = quote.Ask(b.Ctx, b.Studio, quote.In{Size: "16 x 20", Country: "CA"}) // no card goes there
	b.Must(err)
	if a.Words != "" || a.Keeps != nil || !strings.Contains(a.Held, "does not go") {
		t.Errorf("%q, %q, %+v", a.Held, a.Words, a.Keeps)
	}
}

func TestBadQuotes(t *testing.T) {
	b := bed.New(t)
	less := money.Of(-1, "USD")
	other := money.Of(1, "EUR")
	for name, c := range map[string]struct {
		in    quote.In
		code  fault.Code
		field string
		says  string
	}{
		"nothing named":     {quote.In{}, fault.Invalid, "size", "neither a size nor an edition"},
		"no size":           {quote.In{Size: "large"}, fault.Invalid, "size", "no size"},
		"one side":          {quote.In{Size: "16 x"}, fault.Invalid, "size", "no size"},
		"a pin":             {quote.In{Size: "0 x 3"}, fault.Invalid, "size", "no size"},
		"a house":           {quote.In{Size: "16 m x 20 m"}, fault.Invalid, "size", "no size"},
		"too many":          {quote.In{Size: "8 x 10", Prints: 101}, fault.Invalid, "prints", "101"},
		"fewer than none":   {quote.In{Size: "8 x 10", Prints: -1}, fault.Invalid, "prints", "-1"},
		"no such country":   {quote.In{Size: "8 x 10", Country: "Elsewhere"}, fault.Invalid, "country", "Elsewhere"},
		"no such edition":   {quote.In{Edition: 99}, fault.Missing, "size", "99"},
		"no such outlet":    {quote.In{Size: "12 x 16", Outlet: 99}, fault.Missing, "outlet", "99"},
		"less than nothing": {quote.In{Size: "8 x 10", Worth: &less}, fault.Invalid, "worth", "negative"},
		"other money":       {quote.In{Size: "12 x 16", Worth: &other}, fault.Invalid, "worth", "EUR"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := quote.Ask(b.Ctx, b.Studio, c.in)
			b.Refused(err, c.code, c.field, c.says)
		})
	}
}

func TestSidesOfASize(t *testing.T) {
	in, cm := measure.Inch, measure.Centimetre
	for text, want := range map[string][2]measure.Length{
		"16 x 20": {16 * in, 20 * in}, "16 × 20 in": {16 * in, 20 * in}, "30x40 cm": {30 * cm, 40 * cm}, "8 1/2 x 11": {17 * in / 2, 11 * in}, `16" x 20"`: {16 * in, 20 * in}, "300 mm X 16 in": {30 * cm, 16 * in},
	} {
		w, h, err := quote.Sides(text, measure.Imperial)
		if err != nil || w != want[0] || h != want[1] {
			t.Errorf("%q: %d × %d (%v)", text, w, h, err)
		}
	}
}

// Where no price list goes, what a buyer is told is the packing alone, and nothing of tracking or cover is promised.
func TestQuoteWithoutAPriceList(t *testing.T) {
	b := bed.New(t)
	b.ChangeSettings(func(s *studio.Settings) { s.Rules = nil }) // no rule asks for tracking, which nobody promises
	a, err := quote.Ask(b.Ctx, b.Studio, quote.In{Edition: b.Heron.ID, Country: "IE"})
	b.Must(err)
	if !a.Unlisted || !a.Postage.IsZero() || !strings.HasPrefix(a.Words, "Packing ") || !strings.HasSuffix(a.Words, "the postage comes on top of that.") {
		t.Errorf("%v, postage %s: %s", a.Unlisted, a.Postage, a.Words)
	}
	for _, w := range a.Ways.Ways {
		if w.Protection.Care != "" {
			t.Errorf("%s is said to be %s", w.By, w.Protection.Care.Words())
		}
	}
	if home, err := quote.Ask(b.Ctx, b.Studio, quote.In{Edition: b.Heron.ID, Postcode: "97201"}); err != nil || home.Unlisted || !strings.HasPrefix(home.Words, "Sending ") {
		t.Errorf("at home: %v, %s, %v", home.Unlisted, home.Words, err)
	}
}
