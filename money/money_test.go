package money_test

import (
	"encoding/json"
	"math"
	"math/big"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"solander/fault"
	"solander/money"
)

// Source: ISO 4217 list one, minor units other than 2. XOF and XPF from memory. Payment houses treat HUF
// and IDR as if they had none; the standard gives them 2.
var otherDigits = map[string]int{
	"BIF": 0, "CLP": 0, "DJF": 0, "GNF": 0, "ISK": 0, "JPY": 0, "KMF": 0, "KRW": 0, "PYG": 0, "RWF": 0, "UGX": 0, "UYI": 0,
	"VND": 0, "VUV": 0, "XAF": 0, "XOF": 0, "XPF": 0,
	"BHD": 3, "IQD": 3, "JOD": 3, "KWD": 3, "LYD": 3, "OMR": 3, "TND": 3,
	"CLF": 4, "UYW": 4,
}

func TestDigitsFollowTheStandard(t *testing.T) {
	for code, want := range otherDigits {
		if !money.Known(code) || money.Digits(code) != want {
			t.Errorf("%s: known %v with %d digits, want %d", code, money.Known(code), money.Digits(code), want)
		}
	}
	known := 0
	for a := 'A'; a <= 'Z'; a++ {
		for b := 'A'; b <= 'Z'; b++ {
			for c := 'A'; c <= 'Z'; c++ {
				code := string([]rune{a, b, c})
				if !money.Known(code) {
					continue
				}
				known++
				if _, other := otherDigits[code]; !other && money.Digits(code) != 2 {
					t.Errorf("%s has %d digits, want 2", code, money.Digits(code))
				}
			}
		}
	}
	if known < 150 {
		t.Errorf("only %d currencies are known", known)
	}
	for _, code := range []string{"", "usd", "US", "USDX", "AAA", "ZZZ"} {
		if money.Known(code) {
			t.Errorf("%q is known", code)
		}
	}
}

func TestPrint(t *testing.T) {
	for want, a := range map[string]money.Amount{
		"12.50 USD": money.Of(1250, "USD"), "-3.00 USD": money.Of(-300, "USD"), "0.05 EUR": money.Of(5, "EUR"),
		"500 JPY": money.Of(500, "JPY"), "1.234 KWD": money.Of(1234, "KWD"), "0.0001 CLF": money.Of(1, "CLF"),
		"-0.01 GBP": money.Of(-1, "GBP"), "0.00": {}, "-92233720368547758.08 USD": money.Of(math.MinInt64, "USD"),
	} {
		if a.String() != want {
			t.Errorf("got %q, want %q", a, want)
		}
	}
}

// The sum is right or a fault: it never comes out wrong.
func TestSumsNeverOverflowSilently(t *testing.T) {
	edges := rapid.OneOf(rapid.Int64(), rapid.SampledFrom([]int64{0, 1, -1, math.MaxInt64, math.MinInt64, math.MaxInt64 / 2}))
	rapid.Check(t, func(t *rapid.T) {
		x, y := edges.Draw(t, "x"), edges.Draw(t, "y")
		a, b := money.Of(x, "USD"), money.Of(y, "USD")
		bx, by := big.NewInt(x), big.NewInt(y)
		agrees(t, "sum", new(big.Int).Add(bx, by), func() (money.Amount, error) { return a.Add(b) })
		agrees(t, "Sum", new(big.Int).Add(bx, by), func() (money.Amount, error) { return money.Sum(a, b) })
		agrees(t, "difference", new(big.Int).Sub(bx, by), func() (money.Amount, error) { return a.Sub(b) })
		agrees(t, "product", new(big.Int).Mul(bx, by), func() (money.Amount, error) { return a.Times(y) })
	})
}

func agrees(t *rapid.T, what string, want *big.Int, calc func() (money.Amount, error)) {
	t.Helper()
	got, err := calc()
	switch {
	case err != nil:
		if least := money.Of(math.MinInt64, "USD").String(); strings.Contains(err.Error(), least) {
			return // it has no opposite, so it takes no part in sums
		}
		if want.IsInt64() && want.Int64() > -math.MaxInt64/2 && want.Int64() < math.MaxInt64/2 {
			t.Fatalf("the %s %s was refused: %v", what, want, err)
		}
		if !fault.Is(err, fault.Invalid) {
			t.Fatalf("the %s %s failed as %v", what, want, err)
		}
	case big.NewInt(got.Minor).Cmp(want) != 0 || got.Currency != "USD":
		t.Fatalf("the %s is %s, want %s minor units", what, got, want)
	}
}

func TestShareRoundsHalfAwayFromZero(t *testing.T) {
	for _, c := range []struct{ minor, part, whole, want int64 }{
		{10_000, 29, 1000, 290},
		{50, 1, 100, 1},
		{49, 1, 100, 0},
		{-50, 1, 100, -1},
		{-49, 1, 100, 0},
		{50, -1, 100, -1},
		{100, 1, 3, 33},
		{200, 1, 3, 67},
		{5, 1, 10, 1},
		{15, 1, 10, 2},
		{25, 1, 10, 3},
		{1, 1, 1, 1},
		{0, 5, 7, 0},
		{math.MaxInt64, 1, 1, math.MaxInt64},
		{math.MaxInt64, 3, math.MaxInt64, 3},
	} {
		got, err := money.Of(c.minor, "USD").Share(c.part, c.whole)
		if err != nil || got != money.Of(c.want, "USD") {
			t.Errorf("%d/%d of %d is %v, %v; want %d", c.part, c.whole, c.minor, got, err, c.want)
		}
	}
	for _, c := range [][3]int64{{1, 1, 0}, {1, 1, -5}, {math.MaxInt64, 2, 1}, {math.MinInt64, math.MinInt64, 1}, {math.MaxInt64, math.MaxInt64, 2}} {
		if got, err := money.Of(c[0], "USD").Share(c[1], c[2]); !fault.Is(err, fault.Invalid) {
			t.Errorf("%d/%d of %d gave %v, %v", c[1], c[2], c[0], got, err)
		}
	}
}

func TestShareIsTheNearest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		minor := rapid.Int64Range(-money.MaxMinor, money.MaxMinor).Draw(t, "minor")
		part := rapid.Int64Range(-100_000, 100_000).Draw(t, "part")
		whole := rapid.Int64Range(1, 100_000).Draw(t, "whole")
		got, err := money.Of(minor, "USD").Share(part, whole)
		if err != nil {
			t.Fatal(err) // the largest product here still fits
		}
		off := new(big.Rat).Mul(big.NewRat(minor, 1), big.NewRat(part, whole))
		off.Sub(off, big.NewRat(got.Minor, 1))
		if off.Abs(off).Cmp(big.NewRat(1, 2)) > 0 {
			t.Fatalf("%d/%d of %d is %d: off by %s", part, whole, minor, got.Minor, off)
		}
	})
}

func TestCurrenciesNeverMix(t *testing.T) {
	usd, eur, none := money.Of(100, "USD"), money.Of(100, "EUR"), money.Amount{}
	if _, err := usd.Add(eur); !fault.Is(err, fault.Invalid) {
		t.Errorf("dollars and euros gave %v", err)
	}
	if _, err := usd.Sub(eur); !fault.Is(err, fault.Invalid) {
		t.Errorf("dollars less euros gave %v", err)
	}
	if _, err := usd.Add(money.Of(5, "")); !fault.Is(err, fault.Invalid) {
		t.Errorf("five of nothing gave %v", err)
	}
	if _, err := usd.Add(money.Of(0, "EUR")); !fault.Is(err, fault.Invalid) {
		t.Errorf("no euros gave %v", err)
	}
	for _, sum := range [][2]money.Amount{{usd, none}, {none, usd}} {
		if got, err := sum[0].Add(sum[1]); err != nil || got != usd {
			t.Errorf("nothing added gave %v, %v", got, err)
		}
	}
	if got, err := money.Sum(); err != nil || got != none {
		t.Errorf("the sum of nothing is %v, %v", got, err)
	}
}

func TestSignAndZero(t *testing.T) {
	for minor, sign := range map[int64]int{5: 1, 0: 0, -5: -1} {
		a := money.Of(minor, "USD")
		if a.Sign() != sign || a.IsZero() != (sign == 0) || a.Neg().Sign() != -sign {
			t.Errorf("%s: sign %d, zero %v, opposite %s", a, a.Sign(), a.IsZero(), a.Neg())
		}
	}
	if n := money.Of(math.MinInt64, "USD").Neg(); n.Minor != math.MaxInt64 {
		t.Errorf("the opposite of the least amount is %s", n)
	}
}

func TestJSON(t *testing.T) {
	b, err := json.Marshal(money.Of(1250, "USD"))
	if err != nil || string(b) != `{"minor":1250,"currency":"USD"}` {
		t.Errorf("written as %s, %v", b, err)
	}
	rapid.Check(t, func(t *rapid.T) {
		want := amounts.Draw(t, "amount")
		b, err := json.Marshal(want)
		if err != nil {
			t.Fatal(err)
		}
		var got money.Amount
		if err := json.Unmarshal(b, &got); err != nil || got != want {
			t.Fatalf("%s reads as %v, %v", b, got, err)
		}
	})
	for _, text := range []string{
		`5`, `"12.50"`, `[]`, `{"minor": 1.5, "currency": "USD"}`, `{"minor": "1", "currency": "USD"}`, `{"minor": 5}`,
		`{"minor": 5, "currency": "usd"}`, `{"minor": 5, "currency": "QQQ"}`, `{"minor": 9223372036854775807, "currency": "USD"}`,
		`{"minor": -9223372036854775808, "currency": "USD"}`, `{"minor": 1e40, "currency": "USD"}`,
	} {
		got := money.Of(7, "EUR")
		if err := json.Unmarshal([]byte(text), &got); !fault.Is(err, fault.Invalid) || got != money.Of(7, "EUR") {
			t.Errorf("%s gave %v, %v", text, got, err)
		}
	}
}

func TestPerCent(t *testing.T) {
	for n, want := range map[int64]string{0: "0", 1: "0.1", 9: "0.9", 10: "1", 65: "6.5", 30: "3", 1000: "100", 1234: "123.4"} {
		if got := money.PerCent(n); got != want {
			t.Errorf("%d thousandths are %s %%, want %s", n, got, want)
		}
	}
}
