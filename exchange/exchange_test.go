package exchange_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"solander/calendar"
	"solander/exchange"
	"solander/fault"
	"solander/intake/csvfile"
	"solander/money"
	"solander/order"
)

var monday = calendar.Date(2025, 11, 3)

func rates() []exchange.Rate {
	return []exchange.Rate{
		{Base: "EUR", Quote: "USD", Day: monday, Rate: "1.25"},
		{Base: "EUR", Quote: "JPY", Day: monday, Rate: "160"},
		{Base: "EUR", Quote: "KWD", Day: monday, Rate: "0.3125"},
		{Base: "EUR", Quote: "USD", Day: monday.Add(-3), Rate: "1.2"},
	}
}

// Source: worked by hand, with the digits of ISO 4217 (trade facts, 6.6): JPY 0, KWD 3.
func TestConversions(t *testing.T) {
	for _, tt := range []struct {
		from money.Amount
		on   calendar.Day
		to   money.Amount
	}{
		{money.Of(100_00, "EUR"), monday, money.Of(125_00, "USD")},
		{money.Of(125_00, "USD"), monday, money.Of(100_00, "EUR")},
		{money.Of(100_00, "EUR"), monday.Add(-1), money.Of(120_00, "USD")}, // Sunday: Friday's
		{money.Of(100_00, "EUR"), monday.Add(7), money.Of(125_00, "USD")},  // as old as it may be
		{money.Of(125_00, "USD"), monday, money.Of(16_000, "JPY")},         // over the euro
		{money.Of(16_000, "JPY"), monday, money.Of(31_250, "KWD")},         // no digits to three
		{money.Of(1, "JPY"), monday, money.Of(1, "EUR")},                   // 0.625 of a cent
		{money.Of(1_00, "USD"), monday, money.Of(80, "EUR")},               //
		{money.Of(-1, "KWD"), monday, money.Of(0, "EUR")},                  // 0.32 of a cent
		{money.Of(-5, "KWD"), monday, money.Of(-2, "EUR")},                 // 1.6 cents
		{money.Of(5_00, "USD"), monday.Add(-30), money.Of(5_00, "USD")},    // the same money needs no rate
		{money.Of(2, "USD"), monday, money.Of(3, "JPY")},                   // 2.56
	} {
		got, err := exchange.Convert(tt.from, tt.to.Currency, tt.on, rates())
		if err != nil || got.To != tt.to {
			t.Errorf("%s on %s: %s, want %s, %v", tt.from, tt.on, got.To, tt.to, err)
		}
	}
	for name, on := range map[string]calendar.Day{"too old": monday.Add(8), "before the first": monday.Add(-4)} {
		if _, err := exchange.Convert(money.Of(1, "EUR"), "USD", on, rates()); !fault.Is(err, fault.Missing) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := exchange.Convert(money.Of(money.MaxMinor, "EUR"), "JPY", monday, []exchange.Rate{{Base: "EUR", Quote: "JPY", Day: monday, Rate: "999999999999"}}); !fault.Is(err, fault.Invalid) {
		t.Errorf("too large: %v", err)
	}
}

// The two forms of the same rates. Source of the forms: European Central Bank, from memory; the rates are invented.
func TestPublishedFormsSayTheSame(t *testing.T) {
	const text = "Date, USD, JPY, CYP, CHF, \n2025-11-03, 1.1514, 177.4, N/A, 0.9307, \n"
	table, err := csvfile.Read("eurofxref.csv", []byte(text), nil)
	if err != nil {
		t.Fatal(err)
	}
	a, err := exchange.ReadTable(table)
	if err != nil {
		t.Fatal(err)
	}
	b, err := exchange.ReadXML([]byte(`<?xml version="1.0"?><gesmes:Envelope xmlns:gesmes="http://www.gesmes.org/xml/2002-08-01" xmlns="http://www.ecb.int/vocabulary/2002-08-01/eurofxref">
		<Cube><Cube time="2025-11-03"><Cube currency="USD" rate="1.1514"/><Cube currency="JPY" rate="177.4"/><Cube currency="CHF" rate="0.9307"/></Cube></Cube></gesmes:Envelope>`))
	if err != nil {
		t.Fatal(err)
	}
	if len(a) != 3 || !cmp.Equal(tell(a), tell(b)) {
		t.Errorf("%v and %v", tell(a), tell(b))
	}
	for name, text := range map[string]string{
		"no rates": "<a/>", "a broken file": "<Cube", "no day": `<Cube time="2025-13-01"><Cube currency="USD" rate="1"/></Cube>`,
		"a rate of nothing": `<Cube time="2025-11-03"><Cube currency="USD" rate="0"/></Cube>`, "a negative rate": `<Cube time="2025-11-03"><Cube currency="USD" rate="-1"/></Cube>`,
	} {
		if _, err := exchange.ReadXML([]byte(text)); !fault.Is(err, fault.Invalid) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func tell(all []exchange.Rate) []string {
	var out []string
	for _, r := range all {
		out = append(out, r.Base+r.Quote+" "+r.Day.String()+" "+r.Rate)
	}
	return out
}

func TestRatesThatAreNone(t *testing.T) {
	for _, text := range []string{"", "0", "0.00", "-1", "1,08", "1e3", "1.2.3", ".5", "12345678901234"} {
		if _, err := exchange.Parse(text); !fault.Is(err, fault.Invalid) {
			t.Errorf("%q: %v", text, err)
		}
	}
	if err := (exchange.Rate{Base: "EUR", Quote: "EUR", Day: monday, Rate: "1"}).Validate(); !fault.Is(err, fault.Invalid) {
		t.Errorf("one currency: %v", err)
	}
}

// Whatever was paid of an order, and whatever of it is due no more: what is to be paid back gives up just what it is owed no more, so that nothing is left
// over in neither currency, or it is too little to be counted.
func TestWhatIsPaidBackIsAllOfIt(t *testing.T) {
	counted := 0
	rapid.Check(t, func(t *rapid.T) {
		paid := rapid.Int64Range(1, 1_000_000).Draw(t, "paid")
		due := rapid.Int64Range(0, paid).Draw(t, "due")
		came := money.Of(rapid.Int64Range(1, 1_000_000).Draw(t, "came"), "JPY")
		o := order.Order{Postage: money.Of(due, "USD"), State: order.Closed, Payments: []order.Payment{{ID: 1, Amount: money.Of(paid, "USD")}}}
		w, ok := exchange.Of(o, exchange.Agreed{Total: came, Book: money.Of(paid, "USD")}, []exchange.Came{{Payment: 1, Amount: came}})
		if !ok {
			t.Fatal("it is not owed in another currency")
		}
		back := w.Back(o)
		if due == paid && !back.IsZero() || back.Minor > came.Minor || back.Sign() < 0 {
			t.Fatalf("%s of %s are paid back", back, came)
		}
		if back.IsZero() {
			return
		}
		counted++
		if got, err := w.Settles(o, back, true); err != nil || got != o.Owed().Neg() {
			t.Fatalf("%s give up %s, not %s: %v", back, got, o.Owed().Neg(), err)
		}
	})
	if counted < 10 {
		t.Errorf("it was counted %d times alone", counted)
	}
}

// An order of 120.00 USD that was agreed as 100.00 EUR, went, and of which something was paid back for good. By hand: one euro is 1.20 USD. What was
// given may come again, and no more than that; of an open order it is owed.
func TestWhatWasPaidBackForGood(t *testing.T) {
	usd, eur := func(n int64) money.Amount { return money.Of(n, "USD") }, func(n int64) money.Amount { return money.Of(n, "EUR") }
	for name, tt := range map[string]struct {
		state               order.State
		paid, back          int64 // in euros
		owed, given, inBook int64
	}{
		"paid in full":       {order.Closed, 100_00, 20_00, 0, 20_00, 0},
		"owed beside it":     {order.Closed, 70_00, 20_00, 30_00, 20_00, 36_00},
		"open":               {order.Open, 100_00, 20_00, 20_00, 0, 24_00},
		"nothing was given":  {order.Closed, 70_00, 0, 30_00, 0, 36_00},
		"cancelled, back":    {order.Cancelled, 70_00, 20_00, -50_00, 0, -60_00},
		"all of it was back": {order.Closed, 100_00, 100_00, 0, 100_00, 0},
	} {
		o := order.Order{ID: 1, State: tt.state, Postage: usd(120_00), Payments: []order.Payment{{ID: 1, Kind: order.Deposit, Amount: usd(tt.paid / 100 * 1_20)}}}
		came := []exchange.Came{{Payment: 1, Order: 1, Amount: eur(tt.paid)}}
		if tt.back > 0 {
			o.Payments = append(o.Payments, order.Payment{ID: 2, Kind: order.Refund, Amount: usd(tt.back / 100 * 1_20)})
			came = append(came, exchange.Came{Payment: 2, Order: 1, Amount: eur(tt.back)})
		}
		w, ok := exchange.Of(o, exchange.Agreed{Total: eur(100_00), Book: usd(120_00)}, came)
		if !ok || w.Owed != eur(tt.owed) || w.Given != eur(tt.given) || o.Owed() != usd(tt.inBook) || w.Paid != eur(tt.paid-tt.back) {
			t.Errorf("%s: %s owed, %s given, %s paid, in the book %s owed", name, w.Owed, w.Given, w.Paid, o.Owed())
		}
		if most := tt.owed + tt.given; most > 0 {
			if got, err := w.Settles(o, eur(most), false); err != nil || got != o.Short() {
				t.Errorf("%s: %s settle %s, not %s: %v", name, eur(most), got, o.Short(), err)
			}
		}
	}
}
