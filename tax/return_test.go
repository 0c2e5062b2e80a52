package tax

import (
	"testing"

	"pgregory.net/rapid"
)

// Worked by hand: of two places, by the outlet, for resale, inside, without a rate.
func TestReturn(t *testing.T) {
	rates := []Rate{{Country: "US", Region: "OH", From: day, Rate: 57500, Name: "x"}, {Country: "DE", From: day, Rate: 190000, Inside: true, Name: "x"}}
	resales := map[int64][]Certificate{7: {{Country: "US", Region: "OH", Number: "1", From: day}}}
	r, err := ReturnOf([]Piece{
		{Order: 1, Country: "US", Region: "Ohio", Placed: day, Goods: usd(12000), Postage: usd(800), Tax: usd(690), OutletTax: usd(0)},
		{Order: 2, Country: "US", Region: "OH", Placed: day, ByOutlet: true, Goods: usd(10000), Postage: usd(0), Tax: usd(0), OutletTax: usd(575)},
		{Order: 3, Country: "US", Region: "OH", Buyer: 7, Placed: day, Goods: usd(5000), Postage: usd(0), Tax: usd(0), OutletTax: usd(0)},
		{Order: 4, InPerson: true, Placed: day, Goods: usd(11900), Postage: usd(0), Tax: usd(0), OutletTax: usd(0)},
		{Order: 5, Country: "FR", Placed: day, Goods: usd(3000), Postage: usd(100), Tax: usd(0), OutletTax: usd(0)},
		{Order: 6, Placed: day, Goods: usd(700), Postage: usd(0), Tax: usd(0), OutletTax: usd(0)}, // brought in without an address: no place is guessed
	}, rates, resales, "DE", "", "USD")
	if err != nil || len(r.Rows) != 4 {
		t.Fatalf("%+v %v", r, err)
	}
	nowhere, de, fr, oh := r.Rows[0], r.Rows[1], r.Rows[2], r.Rows[3]
	if nowhere.Place() != "an unknown address" || nowhere.NoRate.Minor != 700 || nowhere.Taxed.Minor != 0 {
		t.Errorf("no address: %+v", nowhere)
	}
	if de.Place() != "DE" || de.Sales.Minor != 11900 || de.Taxed.Minor != 10000 || de.Tax.Minor != 1900 {
		t.Errorf("DE: %+v", de)
	}
	if fr.NoRate.Minor != 3100 || fr.Tax.Minor != 0 || fr.Taxed.Minor != 0 {
		t.Errorf("FR: %+v", fr)
	}
	if oh.Place() != "OH, US" || oh.Sales.Minor != 27800 || oh.ByOutlet.Minor != 10000 || oh.OutletTax.Minor != 575 || oh.Exempt.Minor != 5000 || oh.Taxed.Minor != 12800 || oh.Tax.Minor != 690 || oh.ByRate.Minor != 690 || oh.Orders != 3 {
		t.Errorf("OH: %+v", oh)
	}
	if r.All.Sales.Minor != 43500 || r.All.Tax.Minor != 2590 || r.All.Orders != 6 {
		t.Errorf("in all: %+v", r.All)
	}
}

// The rows are together the whole; and each sale is by the outlet, exempt, without a rate, or taxed.
func TestReturnsAddUp(t *testing.T) {
	rates := []Rate{{Country: "US", Region: "OH", From: day, Rate: 57500, Name: "x"}, {Country: "DE", From: day, Rate: 190000, Inside: true, Postage: true, Name: "x"}}
	resales := map[int64][]Certificate{1: {{Country: "US", Number: "1", From: day}}}
	rapid.Check(t, func(t *rapid.T) {
		var pieces []Piece
		for i := range rapid.IntRange(0, 20).Draw(t, "orders") {
			p := Piece{Order: int64(i), Country: rapid.SampledFrom([]string{"US", "DE", "FR", ""}).Draw(t, "country"), Region: rapid.SampledFrom([]string{"OH", "PA"}).Draw(t, "region")}
			p.InPerson = rapid.Bool().Draw(t, "in person")
			p.Buyer, p.ByOutlet, p.Placed = rapid.Int64Range(0, 1).Draw(t, "buyer"), rapid.Bool().Draw(t, "outlet"), day.Add(rapid.IntRange(-1, 1).Draw(t, "day"))
			p.Goods, p.Postage, p.OutletTax = usd(rapid.Int64Range(-9000, 9000).Draw(t, "goods")), usd(rapid.Int64Range(0, 900).Draw(t, "postage")), usd(0)
			p.Tax = usd(rapid.SampledFrom([]int64{0, 500}).Draw(t, "tax"))
			pieces = append(pieces, p)
		}
		r, err := ReturnOf(pieces, rates, resales, "US", "OH", "USD")
		if err != nil {
			t.Fatal(err)
		}
		var sales, tax int64
		for _, x := range r.Rows {
			sales, tax = sales+x.Sales.Minor, tax+x.Tax.Minor
		}
		if sales != r.All.Sales.Minor || tax != r.All.Tax.Minor {
			t.Fatalf("rows are %d with %d of tax, in all %+v", sales, tax, r.All)
		}
		inside := int64(0)
		for _, p := range pieces {
			if p.InPerson {
				p.Country, p.Region = "US", "OH"
			}
			if a, _ := Of(Sale{Country: p.Country, Region: p.Region, Day: p.Placed, Goods: p.Goods, Postage: p.Postage, ByOutlet: p.ByOutlet, Resales: resales[p.Buyer]}, rates); a.Rate != nil && a.Rate.Inside && p.Tax.IsZero() {
				inside += a.Tax.Minor
			}
		}
		a := r.All
		if parts := a.ByOutlet.Minor + a.Exempt.Minor + a.NoRate.Minor + a.Taxed.Minor + inside; parts != a.Sales.Minor {
			t.Fatalf("the parts are %d of %s", parts, a.Sales)
		}
	})
}
