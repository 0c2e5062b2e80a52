package api

import (
	"fmt"
	"strings"
	"testing"

	"solander/calendar"
	"solander/currencies"
	"solander/exchange"
)

// saleAbroad is a sale of one print at 90.00 USD that was agreed in another currency, with more of the body.
func saleAbroad(ref, agreed, more string) string {
	return strings.Replace(sale(ref, heron), `"lines"`, `"agreed": `+agreed+`, `+more+`"lines"`, 1)
}

// worth is such a sale at 72.00 EUR whose first payment, if it has one, was worth something.
func worth(paid, worth string) string {
	return saleAbroad("A-1", `{"currency": "EUR", "minor": 7200}`, paid+`"paid_worth": `+worth+`, `)
}

// What the bank made of a first payment is what it is worth, with a rate of the day or without one: 18.00 EUR of 72.00 settle a quarter of 90.00, which
// is 22.50, and were worth 23.10, a gain of 0.60. By the rate they would have been worth 22.50.
func TestAFirstPaymentIsWorthWhatTheBankMadeOfIt(t *testing.T) {
	onEach(t, func(t *testing.T, d *desk) {
		body := worth(`"paid": {"minor": 1800, "currency": "EUR"}, `, `{"minor": 2310, "currency": "USD"}`)
		d.call(sent{method: "POST", path: "/api/v1/orders", body: body}).is(201).
			has("/payments/0/amount/minor", "2250").has("/payments/0/came/minor", "1800").has("/payments/0/worth/minor", "2310").has("/owed/minor", "6750").has("/agreed/owed/minor", "5400")
		g, err := currencies.Realised(d.ctx(), d.studio)
		d.must(err)
		if len(g.Payments) != 1 || g.Payments[0].Gain.Minor != 60 || g.Payments[0].Rate != "" {
			t.Errorf("gained %+v", g)
		}
	})
}

func TestASaleAgreedInAnotherCurrency(t *testing.T) { onEach(t, soldAbroad) }

// All worked by hand: 90.00 USD are 72.00 EUR at 1.25; 18.00 EUR, a quarter, settle 22.50; of the 54.00 EUR that are left 24.00 settle 24/54 of 67.50,
// which is 30.00, and were worth 31.00; the last 30.00 settle 37.50, and are worth that; 36.00 paid back are half of what came, and give up 45.00.
func soldAbroad(t *testing.T, d *desk) {
	_, err := currencies.Enter(d.ctx(), d.studio, exchange.Rate{Base: "EUR", Quote: "USD", Rate: "1.25", Day: calendar.Date(2026, 4, 13), Source: "the bank of Saltmarsh"})
	d.must(err)
	first := sent{method: "POST", path: "/api/v1/orders", key: "sold", body: saleAbroad("A-1", `{"currency": "EUR"}`, `"paid": {"minor": 1800, "currency": "EUR"}, `)}
	a := d.call(first).is(201)
	for at, want := range map[string]string{
		"/due/minor": "9000", "/due/currency": "USD", "/owed/minor": "6750", "/agreed/total/minor": "7200", "/agreed/total/currency": "EUR", "/agreed/paid/minor": "1800",
		"/agreed/owed/minor": "5400", "/agreed/day": "2026-04-14", "/agreed/rate": "1.25 USD for one EUR on 2026-04-13 (the bank of Saltmarsh)", "/agreed/changed": "<nothing>",
		"/payments/0/amount/minor": "2250", "/payments/0/came/minor": "1800", "/payments/0/came/currency": "EUR", "/payments/0/worth/minor": "2250", "/payments/0/kind": "deposit",
	} {
		a.has(at, want)
	}
	pay := func(key, body string) answered {
		return d.call(sent{method: "POST", path: "/api/v1/orders/A-1/payments", key: key, body: body})
	}
	const part = `{"amount": {"minor": 2400, "currency": "EUR"}, "worth": {"minor": 3100, "currency": "USD"}}`
	b := pay("part", part).is(201).has("/agreed/owed/minor", "3000").has("/owed/minor", "3750").has("/payments/1/amount/minor", "3000").has("/payments/1/worth/minor", "3100")
	for range 2 { // the same again under the same key is done once, and answered the same
		if again := d.call(first).is(201); again.text != a.text {
			t.Errorf("the sale is answered %s, was %s", again.text, a.text)
		}
		if again := pay("part", part).is(201); again.text != b.text {
			t.Errorf("the payment is answered %s, was %s", again.text, b.text)
		}
	}
	pay("part", `{"amount": {"minor": 2400, "currency": "EUR"}}`).problem(409, "taken").has("/errors/0/header", "Idempotency-Key")
	for body, want := range map[string][2]string{
		`{"amount": {"minor": 3750, "currency": "USD"}}`:                                                  {"#/amount", "agreed as 72.00 EUR"},
		`{"amount": {"minor": 3001, "currency": "EUR"}, "worth": {"minor": 1, "currency": "USD"}}`:        {"#/amount", "30.00 EUR"},
		`{"amount": {"minor": 100, "currency": "JPY"}, "worth": {"minor": 1, "currency": "USD"}}`:         {"#/amount", "agreed as 72.00 EUR"},
		`{"amount": {"minor": 100, "currency": "EUR"}, "worth": {"minor": 100, "currency": "EUR"}}`:       {"#/worth", "EUR"},
		`{"amount": {"minor": 100, "currency": "EUR"}, "worth": {"minor": -1, "currency": "USD"}}`:        {"#/worth", "negative"},
		`{"amount": {"minor": 4201, "currency": "EUR"}, "kind": "refund", "day": "2026-04-14"}`:           {"#/amount", "42.00 EUR"},
		`{"amount": {"minor": 100, "currency": "EUR"}, "day": "2026-04-13"}`:                              {"#/day", "before the day of the sale"},
		`{"amount": {"minor": 100, "currency": "EUR"}, "worth": {"minor": 1, "currency": "USD", "x": 1}}`: {"#/worth/x", ""},
	} {
		if got := pay("", body); got.code/100 != 4 || got.at("/errors/0/pointer") != want[0] || !strings.Contains(got.text, want[1]) {
			t.Errorf("%s: %d %s", body, got.code, got.text)
		}
	}
	pay("", `{"amount": {"minor": 3000, "currency": "EUR"}, "how": "card"}`).is(201).has("/agreed/owed/minor", "0").has("/owed/minor", "0").has("/payments/2/kind", "balance")
	pay("", `{"amount": {"minor": 3600, "currency": "EUR"}, "kind": "refund"}`).is(201).has("/payments/3/amount/minor", "4500").has("/payments/3/came/minor", "3600").has("/agreed/owed/minor", "3600")
	d.call(sent{method: "GET", path: "/api/v1/orders/A-1"}).is(200).has("/agreed/paid/minor", "3600").has("/owed/minor", "4500")
	// What changes the order leaves nobody knowing what it comes to in euros: it has to be agreed anew.
	d.call(sent{method: "PATCH", path: "/api/v1/orders/A-1", match: "*", body: `{"postage": {"minor": 500, "currency": "USD"}}`}).is(200).has("/agreed/changed", "true")
	pay("", `{"amount": {"minor": 100, "currency": "EUR"}}`).problem(409, "refused").has("/errors/0/mend", "agree its total anew first")
	_, err = currencies.Agree(d.ctx(), d.studio, currencies.AgreeIn{Order: 1, Currency: "EUR"})
	d.must(err)
	d.call(sent{method: "GET", path: "/api/v1/orders/A-1"}).is(200).has("/agreed/total/minor", "7600").has("/agreed/changed", "<nothing>")
	g, err := currencies.Realised(d.ctx(), d.studio)
	d.must(err)
	if len(g.Payments) != 4 || len(g.Sums) != 1 || g.Sums[0].Gain.Minor != 1_00 {
		t.Errorf("gained %+v", g)
	}
}

// What is odd is refused at its place, and keeps nothing: no order, no number, no payment.
func TestWhatCannotBeAgreedIsRefused(t *testing.T) {
	d := newDesk(t)
	for body, want := range map[string]struct {
		code        int
		pointer, is string
	}{
		saleAbroad("A-1", `{}`, ``):                                                                                                                              {422, "#/agreed/currency", "no currency"},
		saleAbroad("A-1", `{"currency": "EUX"}`, ``):                                                                                                             {422, "#/agreed/currency", "EUX"},
		saleAbroad("A-1", `{"currency": "EUR"}`, ``):                                                                                                             {404, "#/agreed/currency", "no rate"},
		saleAbroad("A-1", `{"currency": "EUR", "minor": 0}`, ``):                                                                                                 {422, "#/agreed", "nothing"},
		saleAbroad("A-1", `{"currency": "EUR", "minor": -1}`, ``):                                                                                                {422, "#/agreed", "nothing"},
		saleAbroad("A-1", `{"currency": "EUR", "minor": 1.5}`, ``):                                                                                               {422, "#/agreed/minor", ""},
		saleAbroad("A-1", `{"currency": "USD", "minor": 9000}`, ``):                                                                                              {422, "#/agreed/currency", "the currency of the book"},
		saleAbroad("A-1", `{"currency": "EUR", "minor": 7200, "total": 1}`, ``):                                                                                  {422, "#/agreed/total", ""},
		saleAbroad("A-1", `{"currency": "EUR", "minor": 7200}`, `"paid": {"minor": 100, "currency": "USD"}, `):                                                   {409, "#/paid", "agreed as 72.00 EUR"},
		saleAbroad("A-1", `{"currency": "EUR", "minor": 7200}`, `"paid": {"minor": 100, "currency": "EUR"}, `):                                                   {404, "#/paid", "no rate"},
		saleAbroad("A-1", `{"currency": "EUR", "minor": 7200}`, `"postage": {"minor": 100, "currency": "EUR"}, `):                                                {422, "#/postage", "EUR"},
		strings.Replace(sale("A-1", heron), `"lines"`, `"paid": {"minor": 100, "currency": "EUR"}, "lines"`, 1):                                                  {422, "#/paid", "it is in \\\"EUR\\\""},
		worth(`"paid": {"minor": 1800, "currency": "EUR"}, `, `{"minor": 2300, "currency": "EUR"}`):                                                              {422, "#/paid_worth", "EUR"},
		worth(`"paid": {"minor": 1800, "currency": "EUR"}, `, `{"minor": -1, "currency": "USD"}`):                                                                {422, "#/paid_worth", "negative"},
		worth(`"paid": {"minor": 1800, "currency": "EUR"}, `, `{"minor": 9007199254740991, "currency": "USD"}`):                                                  {422, "#/paid_worth", "absurd"},
		worth(`"paid": {"minor": 1800, "currency": "EUR"}, `, `{"minor": 1, "currency": "USD", "x": 1}`):                                                         {422, "#/paid_worth/x", ""},
		worth(`"paid": {"minor": 7201, "currency": "EUR"}, `, `{"minor": 1, "currency": "USD"}`):                                                                 {409, "#/paid", "72.00 EUR"},
		worth(``, `{"minor": 2300, "currency": "USD"}`):                                                                                                          {422, "#/paid_worth", "no first payment"},
		strings.Replace(sale("A-1", heron), `"lines"`, `"paid": {"minor": 100, "currency": "USD"}, "paid_worth": {"minor": 100, "currency": "USD"}, "lines"`, 1): {422, "#/paid_worth", "the currency of the book"},
	} {
		got := d.call(sent{method: "POST", path: "/api/v1/orders", body: body})
		if got.code != want.code || got.at("/errors/0/pointer") != want.pointer || !strings.Contains(got.text, want.is) {
			t.Errorf("%s: %d %s", body, got.code, got.text)
		}
	}
	d.call(sent{method: "GET", path: "/api/v1/orders/A-1"}).problem(404, "missing")
	d.call(sent{method: "POST", path: "/api/v1/orders", body: saleAbroad("A-1", `{"currency": "USD"}`, ``)}).is(201).has("/agreed", "<nothing>").has("/mark", "S-1001").has("/lines/0/number", "1/250")
	// The digits behind the point are those of ISO 4217: none of JPY, three of KWD.
	for i, total := range []string{`{"currency": "JPY", "minor": 14000}`, `{"currency": "KWD", "minor": 27655}`} {
		d.call(sent{method: "POST", path: "/api/v1/orders", body: saleAbroad(fmt.Sprint("B-", i), total, ``)}).is(201)
	}
	for mark, want := range map[int64]string{2: "14000 JPY", 3: "27.655 KWD"} {
		st, err := currencies.Of(d.ctx(), d.studio, mark)
		d.must(err)
		if st.Agreed.Total.String() != want || st.Owed.String() != want {
			t.Errorf("agreed as %s, want %s", st.Agreed.Total, want)
		}
	}
}
