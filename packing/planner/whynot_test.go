package planner_test

import (
	"context"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"solander/fault"
	"solander/packing"
	"solander/packing/planner"
)

func whyNot(t *testing.T, p packing.Problem, order, choice, service string) planner.Forced {
	t.Helper()
	a, err := planner.WhyNot(context.Background(), p, order, choice, service)
	if err != nil {
		t.Fatal(err)
	}
	if len(a.Parcels) != 1 {
		t.Fatalf("%d parcels", len(a.Parcels))
	}
	return a.Parcels[0]
}

func TestWhyNot(t *testing.T) {
	p := readProblem(t, "a-day.json")
	for _, c := range []struct{ order, choice, service, rule, text string }{
		// The house rule is looked at before the service.
		{"S-201", "boxed", "slow", "house.fine-fast", "the fine grade goes by the fast class"},
		{"S-201", "carton-26x20", "", "", ""},
		{"S-201", "rolled", "", "sheet.roll", "tidal-mill may not be rolled"},
		{"S-202", "carton-18x14", "", "carton.length", "25 in + 2 × 1/4 in = 25 1/2 in > 18 in"},
		{"S-203", "tube-3x26", "", "shelf.shared", "other parcels take 1 of the 1 of tube-3x26"},
		{"S-203", "single-flat", "", "sleeve.length", "24 in + 2 × 1/16 in = 24 1/8 in > 16 1/4 in"},
		{"S-204", "", "parcel-abroad", "", ""},
		{"S-204", "", "slow", "service.destination", "does not go abroad"},
		{"S-205", "boxed", "", "board.length", "41 in > 25 in"},
	} {
		f := whyNot(t, p, c.order, c.choice, c.service)
		got := ""
		if f.Reason != nil {
			got = f.Reason.Rule
			if !strings.Contains(f.Reason.Text, c.text) {
				t.Errorf("%s %s/%s: %q lacks %q", c.order, c.choice, c.service, f.Reason.Text, c.text)
			}
		}
		if got != c.rule || (f.Parcel == nil) == (c.rule == "") {
			t.Errorf("%s %s/%s: rule %q, want %q; parcel %v", c.order, c.choice, c.service, got, c.rule, f.Parcel)
		}
	}
	// Admissible, but dearer: the parcel abroad costs 1785 instead of 560 for the large letter.
	if f := whyNot(t, p, "S-204", "", "parcel-abroad"); f.More != 1785-560 || f.Parcel.Service != "parcel-abroad" {
		t.Errorf("parcel abroad: %d more", f.More)
	}
	// What is chosen costs nothing more.
	if f := whyNot(t, p, "S-202", "tube-3x26", "slow"); f.More != 0 || f.Chosen != f.Parcel.Cost {
		t.Errorf("the chosen tube: %+v", f)
	}
	for _, c := range [][3]string{{"S-9", "", ""}, {"S-201", "crate", ""}, {"S-201", "", "balloon"}} {
		if _, err := planner.WhyNot(context.Background(), p, c[0], c[1], c[2]); !fault.Is(err, fault.Missing) {
			t.Errorf("%v: %v", c, err)
		}
	}
}

// Source: US Postal Service, Domestic Mail Manual 101.2 and Advisory of 2008-11-06: a large envelope that
// does not bend pays parcel prices, so two stiff boards round a print make a parcel. Domestic Mail
// Manual 225.1.1: a carton issued for Priority Mail goes by Priority Mail alone, however it is cut.
// Notice 123 of 2025-10-05, page 15: tubes and rolls pay 4.00 more.
func TestTrapsOfTheTrade(t *testing.T) {
	p := usual(t)
	small := print(0)
	small.Grade = "plain"
	p.Orders = []packing.Order{{ID: "o", Destination: packing.Place{Country: "US", Postcode: "97201"}, Sheets: []packing.Sheet{small}}}
	if f := whyNot(t, p, "o", "boards", "flat"); f.Reason == nil || f.Reason.Rule != "service.flexible" {
		t.Errorf("two boards as a large envelope: %+v", f)
	}
	if f := whyNot(t, p, "o", "priority-carton", "ground"); f.Reason == nil || f.Reason.Rule != "service.issued" {
		t.Errorf("a carton issued for Priority by Ground: %+v", f)
	}
	if f := whyNot(t, p, "o", "priority-carton", "priority"); f.Parcel == nil || f.Parcel.Layers[len(f.Parcel.Layers)-1].CutTo == 0 {
		t.Errorf("a carton issued for Priority, cut down, by Priority: %+v", f)
	}
	f := whyNot(t, p, "o", "rolled", "ground")
	if f.Parcel == nil {
		t.Fatalf("rolled by Ground: %+v", f.Reason)
	}
	fee := int64(0)
	for _, l := range f.Parcel.Lines {
		if l.Rule == "surcharge" {
			fee += l.Amount
		}
	}
	if fee != 400 {
		t.Errorf("the tube pays %d, not 400: %+v", fee, f.Parcel.Lines)
	}
}

func TestHeldOrdersSayWhy(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*packing.Problem)
		rule   string
		sheet  string
	}{
		"as it is":      {func(p *packing.Problem) {}, "", ""},
		"no shelf":      {func(p *packing.Problem) { p.Shelf = nil }, "shelf.none", ""},
		"no wraps":      {func(p *packing.Problem) { p.Wraps, p.Rules = nil, nil }, "shelf.none", ""},
		"no cards":      {func(p *packing.Problem) { p.Cards = nil }, "tariff.none", ""},
		"cards to come": {func(p *packing.Problem) { p.Cards[0].From = p.Day.Add(1); p.Cards[0].To = p.Day.Add(9) }, "tariff.none", ""},
		"too far":       {func(p *packing.Problem) { p.Orders[0].Destination = packing.Place{Country: "CA"} }, "service.destination", ""},
		"other origin":  {func(p *packing.Problem) { p.Origin.Postcode = "10001" }, "service.flexible", "heron"},
		"no mailer":     {func(p *packing.Problem) { p.Shelf[1].Stock = new(int) }, "shelf.stock", "heron"},
		"too dear":      {func(p *packing.Problem) { p.Orders[0].Sheets[0].Value = 10001 }, "cover.most", "heron"},
		"too late":      {func(p *packing.Problem) { p.Orders[0].ArriveBy = p.Day.Add(4) }, "order.arrive_by", "heron"},
		"just in time":  {func(p *packing.Problem) { p.Orders[0].ArriveBy = p.Day.Add(5) }, "", ""},
	} {
		p := readProblem(t, "one-print.json")
		c.change(&p)
		o := plan(t, p).Orders[0]
		got := ""
		if o.Reason != nil {
			got = o.Reason.Rule
		}
		if d := cmp.Diff([]string{c.rule, c.sheet}, []string{got, o.Sheet}); d != "" {
			t.Errorf("%s: %s", name, d)
		}
	}
}
