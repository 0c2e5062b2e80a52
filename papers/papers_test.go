package papers

import (
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"solander/bench"
	"solander/calendar"
	"solander/edition"
	"solander/measure"
	"solander/money"
	"solander/order"
)

var h = Head{Studio: "Saltmarsh Studio", Day: calendar.Date(2026, 4, 15), Units: measure.Imperial}

func TestSides(t *testing.T) {
	for _, tc := range []struct {
		s    measure.System
		in   []measure.Length
		want string
	}{
		{measure.Imperial, []measure.Length{12 * measure.Inch, 16 * measure.Inch}, "12 × 16 in"},
		{measure.Metric, []measure.Length{216 * measure.Millimetre, 279 * measure.Millimetre}, "216 × 279 mm"},
		{measure.Imperial, []measure.Length{12 * measure.Inch, 216 * measure.Millimetre}, "12 in × 216 mm"},
		{measure.Imperial, []measure.Length{17 * measure.Inch / 2}, "8 1/2 in"},
		{measure.Imperial, nil, ""},
	} {
		if got := Sides(tc.s, tc.in...); got != tc.want {
			t.Errorf("%v: %q, want %q", tc.in, got, tc.want)
		}
	}
}

func TestBenchSheetHasTheGroupsInWorkingOrder(t *testing.T) {
	l := bench.List{Open: 3, Late: 1, Next: calendar.Date(2026, 4, 17), Groups: map[bench.Group][]bench.Task{
		bench.HandOver:    {{Group: bench.HandOver, Mark: "S-3", What: "envelope", Service: "parcel post", Warnings: []string{"ended"}}},
		bench.ChaseMoney:  {{Group: bench.ChaseMoney, Mark: "S-1", Buyer: "Ada Quill", Outlet: "Own site", What: "collect 60.00 USD", Late: 2}},
		bench.OrderSheets: {{Group: bench.OrderSheets, What: "Heron", Quantity: 4}, {Group: bench.OrderSheets, What: "Heron", Blocked: "waits for run 4"}},
		bench.PackOrders:  {{Group: bench.PackOrders, What: "17/250 Heron", Service: "parcel post", Warnings: []string{"ended"}}},
	}}
	s := Bench(h, l)
	if s.Summary != "3 open orders, 1 late; next promise Fri 17 Apr" {
		t.Errorf("summary %q", s.Summary)
	}
	want := []Section{
		{"Money to chase", []Row{{Mark: "S-1", Who: "Ada Quill, Own site", What: "collect 60.00 USD", Late: true}}},
		{"Sheets to order", []Row{{What: "4 × Heron"}, {What: "Heron", Blocked: "waits for run 4"}}},
		{"To pack", []Row{{What: "17/250 Heron"}}},
		{"To hand over", []Row{{Mark: "S-3", What: "envelope, by parcel post"}}},
	}
	if d := cmp.Diff(want, s.Sections); d != "" {
		t.Error(d)
	}
	if d := cmp.Diff([]string{"ended"}, s.Warnings); d != "" {
		t.Errorf("warnings, each once: %s", d)
	}
	if got := Bench(h, bench.List{}).Summary; got != "no open order" {
		t.Errorf("empty: %q", got)
	}
	for _, g := range bench.Groups() {
		if sections[g] == "" {
			t.Errorf("group %q has no name on paper", g)
		}
	}
}

func TestSignListGoesEditionByEdition(t *testing.T) {
	task := func(ed int64, title, label string, late int) bench.Task {
		return bench.Task{Edition: ed, Title: title, Size: "12 × 16 in", Label: label, Late: late}
	}
	s := Sign(h, bench.List{Groups: map[bench.Group][]bench.Task{bench.SignPrints: {
		task(2, "Tide", "3/50", 1), task(1, "Heron", "16/250", 0), task(2, "Tide", "1/50", 0), task(1, "Heron", "17/250", 0),
	}}}, nil)
	if s.Count != 4 || len(s.Editions) != 2 {
		t.Fatalf("%d sheets, %d editions", s.Count, len(s.Editions))
	}
	if s.Editions[0].Title != "Heron" || s.Editions[1].Rows[0].Label != "3/50" || !s.Editions[1].Rows[0].Late || s.Editions[1].Rows[1].Label != "1/50" {
		t.Errorf("%+v", s.Editions)
	}
}

func sale(gift string) SlipIn {
	usd := func(minor int64) money.Amount { return money.Of(minor, "USD") }
	return SlipIn{
		Outlet: "Harbour fair", From: order.Address{Name: "Saltmarsh Studio", Line1: "9 Quay Lane", City: "Roanoke", Region: "VA", Postcode: "24011", Country: "US"},
		Editions: map[int64]edition.Edition{1: {ID: 1, Title: "Heron", Width: 12 * measure.Inch, Height: 16 * measure.Inch, Paper: "cotton rag", Grammage: 310 * measure.GSM, Technique: "pigment print", Limit: 250, Proofs: edition.Proofs{AP: 25, PP: 1}}},
		Order: order.Order{
			Mark: "S-1042", Postage: usd(900), Tax: usd(795), GiftMessage: gift,
			Lines:    []order.Line{{Edition: 1, Number: edition.Number{Kind: edition.AP, N: 2}, Price: usd(12000)}, {Edition: 1, Price: usd(5000), Dropped: true}},
			Payments: []order.Payment{{Kind: order.Deposit, Amount: usd(6000)}},
		},
	}
}

func TestPackingSlip(t *testing.T) {
	s := Slip(h, sale(""))
	want := []SlipLine{{Label: "AP 2/25", Title: "Heron", Facts: "12 × 16 in, pigment print on cotton rag 310 gsm, edition of 250 and 25 artist's proofs, 1 printer's proof", Price: "120.00 USD"}}
	if d := cmp.Diff(want, s.Lines); d != "" {
		t.Error(d)
	}
	totals := []SlipTotal{{"Prints", "120.00 USD"}, {"Postage", "9.00 USD"}, {"Tax", "7.95 USD"}, {"Total", "136.95 USD"}, {"Paid", "60.00 USD"}}
	if d := cmp.Diff(totals, s.Totals); d != "" {
		t.Error(d)
	}
	byOutlet := sale("")
	byOutlet.Order.TaxByOutlet = true
	if d := cmp.Diff([]SlipTotal{{"Prints", "120.00 USD"}, {"Postage", "9.00 USD"}, {"Total", "129.00 USD"}, {"Paid", "60.00 USD"}}, Slip(h, byOutlet).Totals); d != "" {
		t.Errorf("tax that the outlet collects: %s", d)
	}
}

func TestAGiftHasNoPrice(t *testing.T) {
	s := Slip(h, sale("  with love\n"))
	if !s.Gift() || s.Message != "with love" || s.Totals != nil || s.Lines[0].Price != "" {
		t.Errorf("%+v", s)
	}
	if Slip(h, sale("  ")).Gift() {
		t.Error("blanks make a gift")
	}
}

func TestLabel(t *testing.T) {
	from := sale("").From
	abroad := order.Address{Name: "Zoé Müller", Line1: "Straße 1", City: "Köln", Postcode: "50667", Country: "DE"}
	l := Label(h, LabelIn{From: from, To: abroad, Mark: "S-1", Part: 2, Parts: 3})
	if d := cmp.Diff([]string{"Zoé Müller", "Straße 1", "50667 Köln", "GERMANY"}, l.To); d != "" {
		t.Error(d)
	}
	if l.Part != "parcel 2 of 3" {
		t.Errorf("%+v", l)
	}
	if home := Label(h, LabelIn{From: from, To: from, Part: 1, Parts: 1}); home.To[len(home.To)-1] != "Roanoke VA  24011" || home.Part != "" {
		t.Errorf("%+v", home)
	}
}

func TestHandOverSums(t *testing.T) {
	p := func(mark, service string, a money.Amount) HandedParcel {
		return HandedParcel{Mark: mark, Service: service, Postage: a}
	}
	usd, eur := func(n int64) money.Amount { return money.Of(n, "USD") }, func(n int64) money.Amount { return money.Of(n, "EUR") }
	l := HandOver(h, HandOverIn{Parcels: []HandedParcel{p("S-3", "post", usd(842)), p("S-1", "post", usd(795)), p("S-2", "courier", eur(5400))}})
	if d := cmp.Diff([]ServiceSum{{"courier", 1, "54.00 EUR"}, {"post", 2, "16.37 USD"}}, l.Services); d != "" {
		t.Error(d)
	}
	if l.Total != "54.00 EUR + 16.37 USD" || l.Rows[1].Mark != "S-1" {
		t.Errorf("total %q, rows %+v", l.Total, l.Rows)
	}
	big := usd(math.MaxInt64)
	if got := HandOver(h, HandOverIn{Parcels: []HandedParcel{p("a", "x", big), p("b", "x", big)}}).Total; !strings.Contains(got, "too large") {
		t.Errorf("a sum that does not fit: %q", got)
	}
	if got := HandOver(h, HandOverIn{}); got.Total != "" || got.Services != nil {
		t.Errorf("empty: %+v", got)
	}
}

// An order without an address names its buyer; of a gift without one nobody is named.
func TestASlipWithoutAnAddress(t *testing.T) {
	for gift, want := range map[string][]string{"": {"Mara Vell"}, "with love": nil} {
		in := sale(gift)
		in.Buyer, in.Order.ShipTo = "Mara Vell", order.Address{}
		if d := cmp.Diff(want, Slip(h, in).To, cmpopts.EquateEmpty()); d != "" {
			t.Errorf("gift %q: %s", gift, d)
		}
	}
	in := sale("")
	in.Buyer, in.Order.ShipTo = "Mara Vell", order.Address{Name: "Odo Lund", Line1: "7 Mill Road", City: "Denver", Region: "CO", Postcode: "80202", Country: "US"}
	if to := Slip(h, in).To; to[0] != in.Order.ShipTo.Name {
		t.Errorf("with an address it goes to %q", to)
	}
}
