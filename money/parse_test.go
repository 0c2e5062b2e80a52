package money_test

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"solander/fault"
	"solander/money"
)

var amounts = rapid.Custom(func(t *rapid.T) money.Amount {
	code := rapid.SampledFrom([]string{"USD", "EUR", "GBP", "CAD", "JPY", "KRW", "ISK", "KWD", "BHD", "TND", "CLF", "HUF", "IDR"}).Draw(t, "currency")
	return money.Of(rapid.Int64Range(-money.MaxMinor, money.MaxMinor).Draw(t, "minor"), code)
})

func TestPrintThenParseGivesTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := amounts.Draw(t, "amount")
		for text, def := range map[string]string{a.String(): "", a.Plain(): a.Currency, a.Currency + " " + a.Plain(): a.Currency} {
			if got, err := money.Parse(text, def); err != nil || got != a {
				t.Fatalf("%q with %q reads %v, %v; want %v", text, def, got, err, a)
			}
		}
	})
}

func TestParse(t *testing.T) {
	for text, want := range map[string]int64{
		"12.50": 1250, "12,50": 1250, "12.5": 1250, "12": 1200, ".5": 50, ",5": 50, "0,5": 50, " 12.50 ": 1250, "0": 0, "-0": 0,
		"1,234.50": 123450, "1.234,50": 123450, "1 234.50": 123450, "1\u00a0234,50": 123450, "1,234": 123400, "1,234,567": 123456700,
		"1234,50": 123450, "12.50 USD": 1250, "USD 12.50": 1250, "usd12.50": 1250, "12.50usd": 1250,
		"$12.50": 1250, "$ 12.50": 1250, "-$12.50": -1250, "$-12.50": -1250, "-12.50": -1250, "−3": -300, "12,50 $": 1250, "USD $12": 1200,
		"1000000000.00": money.MaxMinor,
	} {
		got, err := money.Parse(text, "USD")
		if err != nil || got != money.Of(want, "USD") {
			t.Errorf("%q reads %v, %v; want %d", text, got, err, want)
		}
	}
	for text, want := range map[string]money.Amount{
		"500 JPY": money.Of(500, "JPY"), "¥500 JPY": money.Of(500, "JPY"), "1,234 JPY": money.Of(1234, "JPY"),
		"1.234 KWD": money.Of(1234, "KWD"), "1,234.5 KWD": money.Of(1_234_500, "KWD"), "0,125 KWD": money.Of(125, "KWD"),
		"EUR 12,50": money.Of(1250, "EUR"), "12,50 EUR": money.Of(1250, "EUR"), "€12,50 EUR": money.Of(1250, "EUR"),
	} {
		if got, err := money.Parse(text, ""); err != nil || got != want {
			t.Errorf("%q reads %v, %v; want %v", text, got, err, want)
		}
	}
}

func TestRefusedTextNamesTheReason(t *testing.T) {
	for _, c := range []struct{ text, def, why string }{
		{"", "USD", "empty"},
		{"  ", "USD", "empty"},
		{"abc", "USD", "no digits"},
		{"USD", "USD", "no digits"},
		{"12.505", "USD", "2 digits"},
		{"12.5", "JPY", "0 digits"},
		{"1.2345", "KWD", "3 digits"},
		{"1.234", "USD", "2 digits"},
		{"12.50 EUR", "USD", "the money here is USD"},
		{"12.50 QQQ", "", "not a currency code"},
		{"12.50", "", "currency is missing"},
		{"12.", "USD", "nothing follows"},
		{"12,", "USD", "nothing follows"},
		{"1.2.3", "USD", "comes twice"},
		{"1,234,5", "USD", "comes twice"},
		{"12,34.50", "USD", "not in threes"},
		{"1234,567.50", "USD", "not in threes"},
		{"12 50", "USD", "not in threes"},
		{",234.50", "USD", "not in threes"},
		{"1,234", "KWD", "thousands or decimals"},
		{"--5", "USD", "not a digit"},
		{"5-", "USD", "not a digit"},
		{"+5", "USD", "not a digit"},
		{"€5", "USD", "not a digit"},
		{"1e5", "USD", "not a digit"},
		{"0x10", "USD", "not a digit"},
		{"12 USD 50", "USD", "not in threes"},
		{"1USD2", "USD", "not a digit"},
		{"٣", "USD", "not a digit"},
		{"1000000000.01", "USD", "absurdly large"},
		{"99999999999999999999999999", "USD", "absurdly large"},
		{"5 \xff", "USD", "broken characters"},
		{strings.Repeat("9", 10_000_000), "USD", "too long"},
		{"USDUSD 5", "USD", "not a currency code"},
	} {
		got, err := money.Parse(c.text, c.def)
		if !fault.Is(err, fault.Invalid) || !strings.Contains(err.Error(), c.why) || got != (money.Amount{}) {
			t.Errorf("%.40q in %s gave %v, %v; want a reason with %q", c.text, c.def, got, err, c.why)
			continue
		}
		if f := fault.All(err)[0]; !strings.HasPrefix(f.Mend, "write it like 12") || len(f.What) > 400 {
			t.Errorf("%.40q: fault without mend or too long: %+v", c.text, f)
		}
	}
}

// Whatever text parses prints as one that parses to the same.
func FuzzParse(f *testing.F) {
	for _, text := range []string{"12.50", "1,234.50", "-$3", "500 JPY", "KWD 1.234", "1 234,50", "€5", "1.234.567"} {
		f.Add(text, "USD")
		f.Add(text, "")
	}
	f.Add("1,234", "KWD")
	f.Fuzz(func(t *testing.T, text, def string) {
		if def != "" && !money.Known(def) {
			return
		}
		a, err := money.Parse(text, def)
		if err != nil {
			return
		}
		if back, err := money.Parse(a.String(), def); err != nil || back != a {
			t.Errorf("%q is %v, prints %q, reads %v, %v", text, a, a, back, err)
		}
	})
}
