package renew_test

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"solander/calendar"
	"solander/fault"
	"solander/measure"
	"solander/tariff"
	"solander/tariff/cards"
	"solander/tariff/renew"
)

// grid is an invented card: a service by mass in three zones, and one by piece.
func grid() tariff.Card {
	rows := []tariff.Row{
		{Mass: measure.Pound, Prices: []tariff.Cell{500, 600, 700}},
		{Mass: 2 * measure.Pound, Prices: []tariff.Cell{550, 680, 900}},
		{Mass: 3 * measure.Pound, Prices: []tariff.Cell{600, 760, tariff.NotCarried}},
	}
	return tariff.Card{
		ID: "post-2025", Series: "post", Operator: "Post", Currency: "USD", From: calendar.Date(2025, 1, 1), To: calendar.Date(2025, 12, 31),
		PriceClass: "retail", Source: "invented", Status: "invented",
		Zones: []tariff.ZoneTable{{Name: "z", Source: "invented", Status: "invented", Rows: []tariff.ZoneRow{
			{Country: "US", Zone: "1"}, {Country: "CA", Zone: "2"}, {Zone: "3"},
		}}},
		Services: []tariff.Service{
			{ID: "parcel", Class: "parcel", Name: "Parcel", Zones: "z", Prices: tariff.Prices{By: tariff.ByMass, Zones: []string{"1", "2", "3"}, Rows: rows}},
			{ID: "flat", Class: "flat", Name: "Flat", Prices: tariff.Prices{By: tariff.ByPiece, Rows: []tariff.Row{{Prices: []tariff.Cell{300}}}}},
		},
	}
}

func bundled(t *testing.T) []tariff.Card {
	t.Helper()
	all, err := cards.All()
	if err != nil {
		t.Fatal(err)
	}
	return all
}

func draft() renew.Draft {
	return renew.Draft{
		ID: "post-2026", From: calendar.Date(2026, 1, 18), Source: "the operator's page of 18 January", Who: "Noor", Factor: 10_430,
		Typed: map[renew.Cell]tariff.Cell{{Service: "parcel", Row: 0, Zone: "1"}: 525, {Service: "flat", Row: 0}: 310},
	}
}

func TestNextCard(t *testing.T) {
	old := grid()
	next, err := renew.Next(&old, draft())
	if err != nil {
		t.Fatal(err)
	}
	if err := old.Check(""); err != nil {
		t.Fatal(err)
	}
	rows := next.Services[0].Prices.Rows
	for i, want := range [][]tariff.Cell{{525, 626, 730}, {574, 709, 939}, {626, 793, tariff.NotCarried}} { // half a cent rounds up
		if !slices.Equal(rows[i].Prices, want) {
			t.Errorf("row %d is %v, not %v", i, rows[i].Prices, want)
		}
	}
	for i, want := range []string{"2 3", "1 2 3", "1 2"} {
		if got := strings.Join(rows[i].Carried, " "); got != want {
			t.Errorf("row %d carries over %q, not %q", i, got, want)
		}
	}
	if r := next.Services[1].Prices.Rows[0]; r.Prices[0] != 310 || r.Carried != nil {
		t.Errorf("the typed price by piece is %+v", r)
	}
	if old.Services[0].Prices.Rows[0].Prices[0] != 500 {
		t.Error("the old card was changed")
	}
	for _, want := range []string{"Noor", "post-2025 × 1.043", "2 prices"} {
		if !strings.Contains(next.Note, want) {
			t.Errorf("the note lacks %q: %s", want, next.Note)
		}
	}
	// What was carried over is said where the price is used; what was typed is not doubted.
	for zone, want := range map[string]string{"US": "secondary", "CA": "extrapolated"} {
		o, why := tariff.NewOffer(&next, &next.Services[0], tariff.Place{Country: "US"}, tariff.Place{Country: zone})
		if why != nil {
			t.Fatal(why)
		}
		p, why := o.Price(&tariff.Parcel{Mass: measure.Pound, Form: tariff.Box}, tariff.Extras{})
		if why != nil || p.Lines[0].Status != want {
			t.Errorf("%s: %+v %v, not %s", zone, p.Lines, why, want)
		}
	}
}

func TestNextCardAsksForWhatItNeeds(t *testing.T) {
	old := grid()
	for field, spoil := range map[string]func(*renew.Draft){
		"source": func(d *renew.Draft) { d.Source = " " },
		"who":    func(d *renew.Draft) { d.Who = "" },
		"id":     func(d *renew.Draft) { d.ID = old.ID },
		"from":   func(d *renew.Draft) { d.From = old.From },
		"factor": func(d *renew.Draft) { d.Factor = 40_000 },
		"typed":  func(d *renew.Draft) { d.Typed[renew.Cell{Service: "parcel", Row: 2, Zone: "3"}] = 100 },
	} {
		d := draft()
		spoil(&d)
		_, err := renew.Next(&old, d)
		if all := fault.All(err); len(all) != 1 || all[0].Code != fault.Invalid || all[0].Field != field {
			t.Errorf("%s: %v", field, err)
		}
	}
}

// Every bundled card can be carried over whole: each price times the factor to the nearest minor unit, prices that rose still
// rise, and a parcel's price is the cell that it is said to use.
func TestCarriedOver(t *testing.T) {
	all := bundled(t)
	rapid.Check(t, func(t *rapid.T) {
		old := rapid.SampledFrom(all).Draw(t, "card")
		d := renew.Draft{ID: "next", From: old.From.Add(1), Source: "s", Who: "w", Factor: renew.Factor(rapid.Int64Range(5_000, 30_000).Draw(t, "factor"))}
		next, err := renew.Next(&old, d)
		if err != nil {
			t.Fatal(err)
		}
		known := len(old.Suspicions())
		if doubts := renew.Doubts(&old, &next, nil); len(next.Suspicions()) > known && len(doubts) == 0 {
			t.Fatalf("new suspicions and no doubt")
		}
		s := rapid.SampledFrom(old.Services).Draw(t, "service")
		zone := ""
		if len(s.Prices.Zones) > 0 {
			zone = rapid.SampledFrom(s.Prices.Zones).Draw(t, "zone")
		}
		c := renew.Cell{Service: s.ID, Row: rapid.IntRange(0, len(s.Prices.Rows)-1).Draw(t, "row"), Zone: zone}
		was, now := c.Price(&old), c.Price(&next)
		if (was == tariff.NotCarried) != (now == tariff.NotCarried) {
			t.Fatalf("%d became %d", was, now)
		}
		if off := int64(now)*10_000 - int64(was)*int64(d.Factor); was != tariff.NotCarried && (off > 5_000 || off <= -5_000) {
			t.Fatalf("%d × %s is not %d", was, d.Factor, now)
		}
	})
}

// The cell that a parcel is counted by is the one that prices it.
func TestUsesAreWhatPriced(t *testing.T) {
	all := bundled(t)
	priced := 0
	rapid.Check(t, func(t *rapid.T) {
		card := rapid.SampledFrom(all).Draw(t, "card")
		s := rapid.SampledFrom(card.Services).Draw(t, "service")
		home := strings.ToUpper(card.ID[:2]) // the bundled cards are named after their country
		from, to := tariff.Place{Country: home, Postcode: "24060"}, tariff.Place{Country: rapid.SampledFrom([]string{home, home, "CA", "GB", "DE", "CH", "AT"}).Draw(t, "to"), Postcode: "10001"}
		o, why := tariff.NewOffer(&card, &s, from, to)
		if why != nil {
			return
		}
		side := rapid.Int64Range(int64(measure.Millimetre), 250*int64(measure.Millimetre))
		sides := []int64{side.Draw(t, "a"), side.Draw(t, "b"), side.Draw(t, "c")}
		slices.Sort(sides)
		p := tariff.Parcel{
			Size: tariff.Size{Length: measure.Length(sides[2]), Width: measure.Length(sides[1]), Height: measure.Length(sides[0])},
			Form: tariff.Box, Stiff: true, Mass: measure.Mass(rapid.Int64Range(1, int64(measure.Kilogram)).Draw(t, "mass")), Container: s.Container,
		}
		price, why := o.Price(&p, tariff.Extras{})
		if why != nil {
			return
		}
		priced++
		sent := renew.Sent{Parcels: 1, Service: s.ID, Zone: o.Zone, Size: p.Size, Billed: price.Billed, Estimated: price.Total, Paid: price.Total}
		uses, apart := renew.Uses(&card, []renew.Sent{sent, sent, {Parcels: 1, Service: "none of it"}})
		if len(uses) != 1 || apart != 1 || uses[0].Parcels != 2 || uses[0].Paid != 2*price.Total {
			t.Fatalf("%+v, %d apart", uses, apart)
		}
		if got := uses[0].Price(&card); int64(got) != price.Lines[0].Amount {
			t.Fatalf("counted by the cell of %d, priced %d: %s", got, price.Lines[0].Amount, price.Lines[0].Text)
		}
	})
	if priced == 0 {
		t.Error("no parcel was priced: nothing was tested")
	}
}

func TestDoubts(t *testing.T) {
	old := grid()
	d := draft()
	d.Typed = map[renew.Cell]tariff.Cell{
		{Service: "parcel", Row: 0, Zone: "1"}: 701, // × 1.402
		{Service: "parcel", Row: 1, Zone: "1"}: 440, // × 0.8, and less than the step before it
		{Service: "parcel", Row: 1, Zone: "2"}: 709, // as carried over
		{Service: "flat", Row: 0}:              239, // × 0.7967
	}
	next, err := renew.Next(&old, d)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, x := range renew.Doubts(&old, &next, d.Typed) {
		got = append(got, x.Where+": "+x.Text)
	}
	want := []string{
		"Parcel, 1 lb, zone 1: × 1.402 of the old price: is it so?", "Flat, any: × 0.7967 of the old price: is it so?",
		"Parcel: zone 1: 2 lb costs less than the step before it", "Parcel: 1 lb: zone 2 costs less than zone 1",
	}
	if !slices.Equal(got, want) {
		t.Errorf("doubts:\n%s\nnot\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

func TestDrifts(t *testing.T) {
	card := grid()
	var sent []renew.Sent
	for range 4 {
		sent = append(sent, renew.Sent{Parcels: 1, Service: "parcel", Zone: "1", Billed: measure.Pound, Estimated: 500, Paid: 520})
	}
	drift := func() renew.Drift {
		uses, _ := renew.Uses(&card, sent)
		return renew.Drifts(&card, uses)[0]
	}
	if d := drift(); d.Told() {
		t.Errorf("told by 4 parcels: %s", d.Text())
	}
	sent = append(sent, renew.Sent{Parcels: 1, Service: "parcel", Zone: "2", Billed: 2 * measure.Pound, Estimated: 680, Paid: 700})
	d := drift()
	if d.Parcels != 5 || d.Estimated != 2680 || d.Paid != 2780 || len(d.Cells) != 2 || d.Factor() != 10_373 || !d.Told() {
		t.Errorf("%+v: %s", d, d.Factor())
	}
	if want := "Parcel costs you 3.7 % more than its card says, by 5 parcels"; d.Text() != want {
		t.Errorf("%q, not %q", d.Text(), want)
	}
	uses, _ := renew.Uses(&card, sent)
	if f := renew.FactorOf(&card, uses, nil); f != 10_373 {
		t.Errorf("with nothing typed the factor is %s", f)
	}
	typed := map[renew.Cell]tariff.Cell{{Service: "parcel", Row: 0, Zone: "1"}: 525, {Service: "parcel", Row: 1, Zone: "2"}: 750}
	if f := renew.FactorOf(&card, uses, typed); f != 10_634 { // (4·525 + 750) / (4·500 + 680)
		t.Errorf("by what was typed the factor is %s", f)
	}
}

// No smaller choice of cells covers the share, by looking at every choice.
func TestFewestCells(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		uses := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) renew.Used {
			return renew.Used{Parcels: rapid.IntRange(1, 9).Draw(t, "parcels"), Paid: rapid.Int64Range(0, 50).Draw(t, "paid")}
		}), 0, 10).Draw(t, "uses")
		for i := range uses {
			uses[i].Row = i
		}
		percent := rapid.Int64Range(1, 100).Draw(t, "percent")
		covers := func(some []renew.Used) bool {
			sum := func(of []renew.Used) (parcels, paid int64) {
				for _, u := range of {
					parcels, paid = parcels+int64(u.Parcels), paid+u.Paid
				}
				return parcels, paid
			}
			p, m := sum(some)
			allP, allM := sum(uses)
			return p*100 >= allP*percent && m*100 >= allM*percent
		}
		got, proven := renew.Fewest(uses, percent)
		if !proven || !covers(got) {
			t.Fatalf("%v does not cover, or is not proven: %v", got, proven)
		}
		for set := range 1 << len(uses) {
			var some []renew.Used
			for i, u := range uses {
				if set>>i&1 == 1 {
					some = append(some, u)
				}
			}
			if len(some) < len(got) && covers(some) {
				t.Fatalf("%d cells do where %d were chosen", len(some), len(got))
			}
		}
	})
}

func BenchmarkFewest(b *testing.B) {
	uses := make([]renew.Used, 300)
	for i := range uses { // 600 parcels over 300 cells, many of them once
		uses[i] = renew.Used{Cell: renew.Cell{Row: i}, Parcels: 1 + 300/(i+1)/4, Paid: int64(500 + i*37%1900)}
	}
	for b.Loop() {
		chosen, proven := renew.Fewest(uses, 95)
		b.ReportMetric(float64(len(chosen)), "cells")
		if !proven {
			b.ReportMetric(1, "unproven")
		}
	}
}

func TestPricesInAFile(t *testing.T) {
	card := grid()
	var b strings.Builder
	cells := []renew.Used{{Cell: renew.Cell{Service: "parcel", Row: 1, Zone: "2"}}, {Cell: renew.Cell{Service: "flat"}}}
	if err := renew.WritePrices(&b, &card, cells); err != nil {
		t.Fatal(err)
	}
	if want := "service,step,zone,price\nparcel,2 lb,2,6.80\nflat,any,,3.00\n"; b.String() != want {
		t.Errorf("written as %q", b.String())
	}
	typed, err := renew.ReadPrices(strings.NewReader(b.String()), &card)
	if err != nil || len(typed) != 2 || typed[cells[0].Cell] != 680 || typed[cells[1].Cell] != 300 {
		t.Errorf("read as %v: %v", typed, err)
	}
	bad := "service,step,zone,price\nparcel,2 lb,2,6.80\nparcel,2 lb,2,6.90\nparcel,9 lb,2,6.80\nflat,any,1,3.00\nparcel,3 lb,3,9.00\nparcel,1 lb,1,5.1O\nparcel,1 lb,1,-5\nparcel,1 lb,1,5 EUR\nparcel,1 lb\n"
	_, err = renew.ReadPrices(strings.NewReader(bad), &card)
	var lines []string
	for _, f := range fault.All(err) {
		lines = append(lines, f.Where)
	}
	if got := strings.Join(lines, " "); got != "line 3 line 4 line 5 line 6 line 7 line 8 line 9 line 10" {
		t.Errorf("faults at %s: %v", got, err)
	}
	if _, err := renew.ReadPrices(strings.NewReader("a,b\n"), &card); !fault.Is(err, fault.Invalid) {
		t.Errorf("other columns: %v", err)
	}
}
