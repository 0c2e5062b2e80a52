package cell

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"solander/calendar"
	"solander/edition"
	"solander/intake"
	"solander/measure"
	"solander/money"
)

// How amounts are grouped: Unicode CLDR, number formats of en (1,250.00), de (1.250,00), fr (1 250,00) and de-CH (1’250.00); from
// memory. The dash for no cents is common practice, no source.
func TestAmounts(t *testing.T) {
	for _, tt := range []struct {
		in, currency, decimal, want string
	}{
		{"$1,250.00", "USD", "", "1250.00 USD"},
		{"1.250,00 €", "EUR", "", "1250.00 EUR"},
		{"1 250,00 €", "EUR", "", "1250.00 EUR"},
		{"1’250.00", "CHF", "", "1250.00 CHF"},
		{"CHF 1'250.50", "CHF", "", "1250.50 CHF"},
		{"80,-", "EUR", ".", "80.00 EUR"},
		{"80,– €", "EUR", "", "80.00 EUR"},
		{"80", "USD", "", "80.00 USD"},
		{"80.5", "USD", "", "80.50 USD"},
		{"12,5", "USD", "", "12.50 USD"},
		{"1,250", "USD", "", "amount.decimal"},
		{"1,250", "USD", ".", "1250.00 USD"},
		{"1,250", "USD", ",", "amount"}, // a thousandth of a dollar is none
		{"1.250", "EUR", ",", "1250.00 EUR"},
		{"1.250.000", "EUR", "", "1250000.00 EUR"},
		{"1,25,000", "EUR", "", "amount"},
		{"12,50", "EUR", ".", "amount"},
		{"1.250,00", "EUR", ".", "amount"},
		{"(12.00)", "USD", "", "-12.00 USD"},
		{"-$12", "USD", "", "-12.00 USD"},
		{"$ -12", "USD", "", "-12.00 USD"},
		{"12 usd", "USD", "", "12.00 USD"},
		{"USD12", "USD", "", "12.00 USD"},
		{"12 EUR", "USD", "", "amount.currency"},
		{"£12", "USD", "", "amount.currency"},
		{"$12", "CAD", "", "12.00 CAD"},
		{"twelve", "USD", "", "amount"},
		{"heron", "USD", "", "amount"}, // RON is a currency
		{"12.345", "USD", ".", "amount"},
		{"...", "USD", "", ""},
		{"...", "USD", "", ""},
		{"", "USD", "", ""},
		{"-", "USD", "", ""},
		{"n/a", "USD", "", ""},
	} {
		a, ok, trouble := AmountOf(shown(tt.in), tt.currency, tt.decimal)
		got := trouble.Rule
		if ok {
			got = a.String()
		}
		if got != tt.want {
			t.Errorf("%q in %s with %q: %q, want %q (%s)", tt.in, tt.currency, tt.decimal, got, tt.want, trouble.What)
		}
	}
	if a, ok, _ := AmountOf(intake.Cell{Kind: intake.Number, Number: "80.1"}, "USD", ","); !ok || a != money.Of(8010, "USD") {
		t.Errorf("the number 80.1 is %v, %v", a, ok)
	}
}

// What an amount is printed as, grouped or not, is read back.
func TestPrintedAmountsAreReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		minor := rapid.Int64Range(0, 99_999_999_99).Draw(t, "minor")
		group, point := ",", "."
		if rapid.Bool().Draw(t, "comma") {
			group, point = rapid.SampledFrom([]string{".", " ", "'"}).Draw(t, "group"), ","
		}
		whole := fmt.Sprint(minor / 100)
		for i := len(whole) - 3; i > 0; i -= 3 {
			whole = whole[:i] + group + whole[i:]
		}
		in := fmt.Sprintf("%s%s%02d", whole, point, minor%100)
		for _, decimal := range []string{"", point} {
			if a, ok, trouble := AmountText(in, "EUR", decimal); !ok || a.Minor != minor {
				t.Fatalf("%q with %q: %v %v", in, decimal, a, trouble)
			}
		}
	})
}

// ISO 8601: year, month, day in that order. The other forms are common practice, no source.
func TestDays(t *testing.T) {
	day := func(y int, m time.Month, d int) string { return calendar.Date(y, m, d).String() }
	june := day(2025, time.June, 4)
	for _, tt := range []struct {
		in, want string
		order    intake.DayOrder
	}{
		{"2025-06-04", june, ""},
		{"2025/6/4", june, intake.MonthDay},
		{"20250604", june, ""},
		{"4 June 2025", june, ""},
		{"June 4th 2025", june, ""},
		{"June 4th, 2025", june, ""},
		{"4th of June 2025", june, ""},
		{"Wed, 4. Juni 2025", june, ""},
		{"Wednesday 4 June 2025 14:30", june, ""},
		{"2025-06-04T14:30:00", june, ""},
		{"4-Jun-25", june, ""},
		{"4jun25", june, ""},
		{"4 juin 2025", june, ""},
		{"2025 June 4", june, ""},
		{"04.06.25", june, intake.DayMonth},
		{"04/06/2025", june, intake.DayMonth},
		{"6/4/2025", june, intake.MonthDay},
		{"6/4/2025", "day.order", ""},
		{"13/6/2025", day(2025, time.June, 13), ""},
		{"6/13/2025", day(2025, time.June, 13), ""},
		{"6/13/2025", day(2025, time.June, 13), intake.DayMonth},
		{"6/6/2025", day(2025, time.June, 6), ""},
		{"4 June", "no year 6-4", ""},
		{"4.6.", "no year 6-4", intake.DayMonth},
		{"6/4", "no year 6-4", intake.MonthDay},
		{"29 Feb", "no year 2-29", ""},
		{"29 Feb 2025", "day", ""},
		{"29 Feb 2024", day(2024, time.February, 29), ""},
		{"31/4/2025", "day", ""},
		{"June 2025", "day", ""},
		{"17", "day", ""},
		{"soon", "day", ""},
		{"1/2/3/4", "day", ""},
		{"4 June 80", day(1980, time.June, 4), ""},
		{"4 June 1815", "day", ""},
		{"0/0/2025", "day", intake.DayMonth},
		{"mai 4, 2025", day(2025, time.May, 4), ""},
		{"ma 4, 2025", "day", ""},
		{"", "", ""},
		{"n/a", "", ""},
	} {
		d, ok, trouble := DayOf(shown(tt.in), tt.order)
		got := trouble.Rule
		switch {
		case ok && d.Year == 0:
			got = fmt.Sprintf("no year %d-%d", d.Month, d.Day)
		case ok:
			got = d.In(0).String()
		}
		if got != tt.want {
			t.Errorf("%q with %q: %q, want %q", tt.in, tt.order, got, tt.want)
		}
	}
}

func TestWrittenDaysAreReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := calendar.Date(2000, time.January, 1).Add(rapid.IntRange(0, 20_000).Draw(t, "day"))
		y, m, d := want.Civil()
		for in, order := range map[string]intake.DayOrder{
			want.String(): "", want.Long(): "", fmt.Sprintf("%d %s %d", d, m, y): "", fmt.Sprintf("%s %d, %d", m, d, y): "",
			fmt.Sprintf("%02d.%02d.%d", d, m, y): intake.DayMonth, fmt.Sprintf("%d/%d/%d", m, d, y): intake.MonthDay,
		} {
			got, ok, trouble := DayText(in, order)
			if !ok || got.In(0) != want {
				t.Fatalf("%q is %v, want %s (%v)", in, got, want, trouble)
			}
		}
	})
}

func TestYearNearby(t *testing.T) {
	for _, tt := range []struct{ other, want string }{{"2025-01-03", "2024-12-30"}, {"2025-12-01", "2025-12-30"}, {"2025-06-20", "2024-12-30"}, {"2025-07-20", "2025-12-30"}} {
		other, err := calendar.ParseDay(tt.other)
		if err != nil {
			t.Fatal(err)
		}
		if got := (DayRead{Month: time.December, Day: 30}).Near(other); got.String() != tt.want {
			t.Errorf("30 December near %s is %s, want %s", tt.other, got, tt.want)
		}
	}
}

// How numbers stand on prints is common practice of the trade, no source.
func TestNumbers(t *testing.T) {
	for in, want := range map[string]string{
		"17": "17", "17/250": "17 of 250", "#17": "17", "no. 17": "17", "No 17": "17", "Nr. 17": "17", "№ 17": "17", "number 17": "17", "print #17/250": "17 of 250",
		"3 of 75": "3 of 75", "17 / 250": "17 of 250", "017/250": "17 of 250",
		"AP 2": "AP 2", "AP2": "AP 2", "A.P. 2/25": "AP 2 of 25", "AP II": "AP 2", "AP IV/X": "AP 4 of 10", "artist's proof 3": "AP 3", "E.A. 1": "AP 1", "PP 1": "PP 1", "H.C. III": "HC 3", "BAT 1": "BAT 1",
		"BAT 1/1": "BAT 1 of 1", "AP": "number.proof", "AP IIII": "number", "AP IC": "number",
		"17, 18": "17 18", "17+18": "17 18", "17 & 18": "17 18", "17 and 18 of 250": "17 18 of 250", "#17, #18": "17 18", "17/250; 18/250": "17 18 of 250", "17/250, 18/200": "number",
		"17-19": "17 18 19", "17 to 19 of 250": "17 18 19 of 250", "19-17": "number", "1-500": "number",
		"250/17": "number.beyond", "0": "number", "0/250": "number", "-3": "number", "17.5": "number", "later": "number", "17/0": "number", "99999999": "number",
		"": "", "open": "", "-": "", "unnumbered": "",
	} {
		n, ok, trouble := NumbersOf(shown(in))
		got := trouble.Rule
		if ok && trouble.None() {
			var parts []string
			for _, one := range n.Numbers {
				parts = append(parts, one.String())
			}
			got = strings.Join(parts, " ")
			if n.Of > 0 {
				got += fmt.Sprintf(" of %d", n.Of)
			}
		}
		if got != want {
			t.Errorf("%q: %q, want %q", in, got, want)
		}
	}
}

// What edition prints as a number is read back.
func TestPrintedNumbersAreReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := edition.Edition{Limit: 250, Proofs: edition.Proofs{AP: 25, PP: 5, HC: 5, BAT: 1}}
		k := rapid.SampledFrom(edition.Kinds()).Draw(t, "kind")
		n := edition.Number{Kind: k, N: rapid.IntRange(1, e.Count(k)).Draw(t, "n")}
		for _, in := range []string{n.String(), n.Of(e)} {
			got, ok, trouble := NumbersText(in)
			if !ok || !trouble.None() || len(got.Numbers) != 1 || got.Numbers[0] != n || got.Of != 0 && got.Of != e.Count(k) {
				t.Fatalf("%q is %v (%v)", in, got, trouble)
			}
		}
	})
}

// A3 is 297 × 420 mm: ISO 216.
func TestSizes(t *testing.T) {
	in, mm := measure.Inch, measure.Millimetre
	for _, tt := range []struct {
		text, unit string
		w, h       measure.Length
		rule       string
	}{
		{"12x18", "in", 12 * in, 18 * in, ""},
		{"12 x 18 in", "", 12 * in, 18 * in, ""},
		{`12" × 18"`, "", 12 * in, 18 * in, ""},
		{"8 1/2 x 11 in", "", 17 * in / 2, 11 * in, ""},
		{"8.5x11", "in", 17 * in / 2, 11 * in, ""},
		{"30 x 40 cm", "in", 300 * mm, 400 * mm, ""},
		{"30,5x40cm", "", 305 * mm, 400 * mm, ""},
		{"300 by 400 mm", "", 300 * mm, 400 * mm, ""},
		{"A3", "", 297 * mm, 420 * mm, ""},
		{"12x18", "", 0, 0, "size.unit"},
		{"big", "in", 0, 0, "size"},
		{"0x18", "in", 0, 0, "size"},
		{"12", "in", 0, 0, "size"},
		{"", "in", 0, 0, ""},
	} {
		z, ok, trouble := SizeOf(tt.text, tt.unit)
		if trouble.Rule != tt.rule || z.Width != tt.w || z.Height != tt.h || ok != (tt.w > 0) {
			t.Errorf("%q in %q: %v × %v, %v %q", tt.text, tt.unit, z.Width, z.Height, ok, trouble.Rule)
		}
	}
}

func TestSpanishDays(t *testing.T) {
	for in, want := range map[string]string{
		"12 de abril de 2026": "2026-04-12", "lunes, 12 ene 2026": "2026-01-12", "1 dic 2026": "2026-12-01", "2 ago 26": "2026-08-02", "jeudi 12 février 2026": "2026-02-12", "1er mars 2026": "2026-03-01",
	} {
		d, ok, trouble := DayText(in, "")
		if got := d.In(0).String(); !ok || got != want {
			t.Errorf("%q is %s, want %s (%s)", in, got, want, trouble.What)
		}
	}
}

func shown(s string) intake.Cell { return intake.Cell{Kind: intake.Words, Text: s} }
