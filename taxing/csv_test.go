package taxing_test

import (
	"bytes"
	"encoding/csv"
	"strings"
	"testing"

	"solander/calendar"
	"solander/money"
	"solander/tax"
	"solander/taxing"
)

// Another reader (encoding/csv) reads the file back: a row for each place and one for all, whose sum it is. The figures by hand: of a print at
// 100.00 and postage of 10.00 with 6.25 % on the print alone the tax is 6.25; no source but the arithmetic.
func TestAReturnIsReadBackAsAFile(t *testing.T) {
	day := calendar.Date(2031, 2, 3)
	usd := func(minor int64) money.Amount { return money.Of(minor, "USD") }
	v, err := tax.ReturnOf([]tax.Piece{
		{Order: 1, Country: "US", Region: "OH", Placed: day, Goods: usd(10000), Postage: usd(1000), Tax: usd(625), OutletTax: usd(0)},
		{Order: 2, Country: "US", Region: "PA", Placed: day, ByOutlet: true, Goods: usd(5000), Postage: usd(0), Tax: usd(0), OutletTax: usd(300)},
	}, []tax.Rate{{Country: "US", Region: "OH", From: calendar.Date(2030, 1, 1), Rate: 62500}}, nil, "US", "OH", "USD")
	if err != nil {
		t.Fatal(err)
	}
	v.From, v.Until = calendar.Date(2031, 1, 1), calendar.Date(2031, 3, 31)
	var b bytes.Buffer
	if err := taxing.WriteCSV(&b, v); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&b).ReadAll()
	if err != nil || len(rows) != 4 {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	for i, want := range []string{
		"country region place",
		"US OH OH, US 2031-01-01 2031-03-31 1 USD 110.00 0.00 0.00 0.00 0.00 110.00 6.25 6.25",
		"US PA PA, US 2031-01-01 2031-03-31 1 USD 50.00 50.00 3.00 0.00 0.00 0.00 0.00 0.00",
		"  in all 2031-01-01 2031-03-31 2 USD 160.00 50.00 3.00 0.00 0.00 110.00 6.25 6.25",
	} {
		if got := strings.Join(rows[i], " "); got != want && (i > 0 || !strings.HasPrefix(got, want)) {
			t.Errorf("row %d is %q, want %q", i, got, want)
		}
	}
}
