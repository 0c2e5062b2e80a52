package earnings

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"solander/calendar"
	"solander/fault"
	"solander/ledger"
	"solander/money"
)

func usd(minor int64) money.Amount { return money.Of(minor, "USD") }

func day(y int, m time.Month, d int) calendar.Day { return calendar.Date(y, m, d) }

// Every account of the chart that is income or a cost is of a part, and no other is; those that the program does not know by name are other
// costs, and none is of two parts.
func TestEveryAccountHasItsPart(t *testing.T) {
	seen := map[string]int{}
	for _, p := range parts {
		for _, a := range p.accounts {
			seen[a]++
		}
	}
	for _, a := range ledger.Chart(nil) {
		part, ok := PartOf(a.Key)
		if earned := a.Class == ledger.Income || a.Class == ledger.Expense; ok != earned {
			t.Errorf("%s, %s, is of a part: %v", a.Name, a.Class, ok)
		}
		if ok && part.Income() != (a.Class == ledger.Income) {
			t.Errorf("%s, %s, is of %q", a.Name, a.Class, part)
		}
		if ok && seen[a.Key] != 1 {
			t.Errorf("%s is of %d parts", a.Key, seen[a.Key])
		}
	}
	if part, ok := PartOf("rent"); !ok || part != OtherOut {
		t.Errorf("an account of her own is of %q, %v", part, ok)
	}
}

// Whatever the journal holds: by whatever it is grouped, the sum of the groups is what its accounts of income and costs come to, the other way
// round, in every currency.
func TestAnyGroupingIsTheJournal(t *testing.T) {
	accounts := ledger.Chart(nil)
	rapid.Check(t, func(t *rapid.T) {
		var facts []Fact
		journal := map[string]int64{}
		for range rapid.IntRange(0, 60).Draw(t, "lines") {
			a := rapid.SampledFrom(accounts).Draw(t, "account")
			m := money.Of(rapid.Int64Range(-1_000_00, 1_000_00).Draw(t, "amount"), rapid.SampledFrom([]string{"USD", "EUR"}).Draw(t, "currency"))
			if a.Class == ledger.Income || a.Class == ledger.Expense {
				journal[m.Currency] -= m.Minor
			}
			f, ok := Of(a.Key, m)
			if !ok {
				continue
			}
			f.Edition, f.Outlet = rapid.Int64Range(0, 3).Draw(t, "edition"), rapid.Int64Range(0, 2).Draw(t, "outlet")
			f.Order, f.Month = rapid.Int64Range(0, 5).Draw(t, "order"), rapid.SampledFrom([]string{"2031-01", "2031-02"}).Draw(t, "month")
			f.Estimated = rapid.Bool().Draw(t, "estimated")
			facts = append(facts, f)
		}
		keys := map[string]Key{
			"edition": func(f Fact) (string, string) { return fmt.Sprint(f.Edition), "" },
			"outlet":  func(f Fact) (string, string) { return fmt.Sprint(f.Outlet), "" },
			"order":   func(f Fact) (string, string) { return fmt.Sprint(f.Order), "" },
			"month":   func(f Fact) (string, string) { return f.Month, f.Month },
			"nothing": func(Fact) (string, string) { return "", "" },
		}
		for _, currency := range []string{"USD", "EUR"} {
			if got := Total(facts, currency).Left().Both(); got != journal[currency] {
				t.Fatalf("%s: all of it is %d, the journal says %d", currency, got, journal[currency])
			}
			for name, key := range keys {
				var left, both int64
				for _, g := range By(facts, currency, key) {
					left += g.Left().Both()
					both += g.Income().Both() + g.Costs().Both()
				}
				if left != journal[currency] || both != left {
					t.Fatalf("%s by %s: %d, of income and costs %d, the journal says %d", currency, name, left, both, journal[currency])
				}
			}
		}
	})
}

// Computed by hand: a print at 120.00 with 8.00 postage charged; sheet 21.00, packaging 1.85, postage 9.65, fees 8.32 + 4.01.
func TestWhatASaleEarned(t *testing.T) {
	sale := []Fact{
		{Part: Price, Amount: usd(120_00)},
		{Part: Charged, Amount: usd(8_00)},
		{Part: PaymentFee, Amount: usd(-4_01)},
		{Part: Sheet, Amount: usd(-21_00)},
		{Part: Postage, Amount: usd(-9_65), Estimated: true},
		{Part: Packaging, Amount: usd(-1_85)},
		{Part: OutletFee, Amount: usd(-8_32)},
	}
	g := Total(sale, "USD")
	if g.Income() != (Sum{Known: 128_00}) || g.Costs() != (Sum{Known: -35_18, Estimated: -9_65}) || g.Left() != (Sum{Known: 92_82, Estimated: -9_65}) {
		t.Errorf("income %+v, costs %+v, left %+v", g.Income(), g.Costs(), g.Left())
	}
	var told []string
	for _, s := range g.Sums {
		told = append(told, string(s.Part))
	}
	if got := strings.Join(told, " "); got != "price postage-charged sheets packaging postage outlet-fees payment-fees" {
		t.Errorf("told in the order %s", got)
	}
	if n, ok := PerMille(g.Left().Both(), g.Income().Both()); !ok || n != 650 { // 83.17 / 128.00 = 0.64977
		t.Errorf("%d thousandths, %v", n, ok)
	}
	if g.BelowCost() {
		t.Error("it is told to be below cost")
	}
	lost := Total(append(sale, Fact{Part: Claims, Amount: usd(-90_00)}), "USD")
	if !lost.BelowCost() {
		t.Errorf("%+v is not told to be below cost", lost.Left())
	}
	if n, ok := PerMille(-5, 1000); !ok || n != -5 {
		t.Errorf("%d, %v", n, ok)
	}
	if _, ok := PerMille(5, 0); ok {
		t.Error("a share of nothing")
	}
}

// Sources: break-even examples of four textbooks, as collected with their inputs: fixed 20 000, price 400, variable 250 → 133.33, so 134;
// fixed 18 000, 100, 20 → 225, sales 22 500; fixed 1 200 000, 26.90, 14.40 → 96 000, and 99 840 for a profit of 48 000; fixed 13 268, 30,
// 14.50 → 856, a contribution of 51.67 %.
func TestBreakEvenOfTextbooks(t *testing.T) {
	for _, tc := range []struct{ fixed, price, each, profit, want, sales int64 }{
		{20_000_00, 400_00, 250_00, 0, 134, 53_600_00},
		{18_000_00, 100_00, 20_00, 0, 225, 22_500_00},
		{1_200_000_00, 26_90, 14_40, 0, 96_000, 2_582_400_00},
		{1_200_000_00, 26_90, 14_40, 48_000_00, 99_840, 2_685_696_00},
		{13_268_00, 30_00, 14_50, 0, 856, 25_680_00},
		{0, 10_00, 0, 0, 0, 0},
	} {
		got, err := EvenAt(tc.fixed, tc.price, tc.each, tc.profit)
		if err != nil || got.Prints != tc.want || got.Sales != tc.sales {
			t.Errorf("%+v: %+v, %v", tc, got, err)
		}
	}
	if ratio, ok := PerMille(30_00-14_50, 30_00); !ok || ratio != 517 {
		t.Errorf("the contribution is %d thousandths", ratio)
	}
	if _, err := EvenAt(1, 10, 10, 0); !fault.Is(err, fault.Refused) {
		t.Errorf("a print that brings nothing: %v", err)
	}
	if _, err := EvenAt(-1, 10, 5, 0); !fault.Is(err, fault.Invalid) {
		t.Errorf("negative costs: %v", err)
	}
}

// The fewest prints bear the costs, and one fewer does not.
func TestBreakEvenIsTheFewest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		fixed, each := rapid.Int64Range(0, 1_000_000).Draw(t, "fixed"), rapid.Int64Range(0, 10_000).Draw(t, "each")
		price := each + rapid.Int64Range(1, 10_000).Draw(t, "more")
		got, err := EvenAt(fixed, price, each, 0)
		if err != nil {
			t.Fatal(err)
		}
		if n := got.Prints; n*(price-each) < fixed || n > 0 && (n-1)*(price-each) >= fixed {
			t.Fatalf("%+v", got)
		}
	})
}

func steps(amounts ...int64) []Step {
	var out []Step
	for i := 0; i < len(amounts); i += 2 {
		out = append(out, Step{int(amounts[i]), usd(amounts[i+1])})
	}
	return out
}

// Computed by hand: 90.00, from 3 sold 110.00, from 5 sold 150.00; six sold, one of them by word at 100.00.
func TestWhatStepsEarned(t *testing.T) {
	sold := []Sold{
		{day(2031, 1, 1), usd(90_00), 2},
		{day(2031, 1, 11), usd(90_00), 1},
		{day(2031, 1, 21), usd(110_00), 1},
		{day(2031, 2, 10), usd(100_00), 1},
		{day(2031, 3, 2), usd(150_00), 1},
	}
	got, err := StepsEarned(steps(0, 90_00, 3, 110_00, 5, 150_00, 8, 200_00), sold, day(2031, 3, 12))
	if err != nil || got.Sold != 6 || got.Income != usd(630_00) || got.Flat != usd(540_00) || got.More != usd(90_00) {
		t.Fatalf("%+v, %v", got, err)
	}
	for i, want := range []struct {
		sold, days int
		income     int64
	}{{3, 20, 270_00}, {2, 40, 210_00}, {1, 10, 150_00}, {0, 0, 0}} {
		if s := got.Steps[i]; s.Sold != want.sold || s.Days != want.days || s.Income.Minor != want.income {
			t.Errorf("step %d: %+v, want %+v", i, s, want)
		}
	}
	if _, err := StepsEarned(nil, sold, day(2031, 3, 12)); !fault.Is(err, fault.Invalid) {
		t.Errorf("no price: %v", err)
	}
}

func TestWhatAreNoSteps(t *testing.T) {
	for field, tc := range map[string][]Step{
		"steps":              nil,
		"steps[0].from_sold": steps(1, 90_00),
		"steps[1].from_sold": steps(0, 90_00, 0, 100_00, 5, 110_00),
		"steps[2].from_sold": steps(0, 90_00, 5, 100_00, 50, 110_00),
		"steps[1].price":     steps(0, 90_00, 5, 0),
	} {
		all := fault.All(CheckSteps(tc, 50))
		if len(all) == 0 || all[0].Field != field || all[0].Mend == "" {
			t.Errorf("%s: %v", field, all)
		}
	}
	mixed := steps(0, 90_00, 5, 100_00)
	mixed[1].Price.Currency = "EUR"
	if !fault.Is(CheckSteps(mixed, 50), fault.Invalid) {
		t.Error("two currencies are steps")
	}
	if got := StepsOf(usd(90_00), steps(5, 110_00)); len(got) != 2 || got[0] != steps(0, 90_00)[0] {
		t.Errorf("%+v", got)
	}
	if got := StepsOf(usd(90_00), steps(0, 95_00, 5, 110_00)); len(got) != 2 || got[0] != steps(0, 95_00)[0] {
		t.Errorf("%+v", got)
	}
}

// Source: upper ten per cent points of the F distribution, from memory of the tables in any book of statistics: a beta prime value with
// shapes a and b is a/b times an F value with 2a and 2b degrees of freedom. And two closed forms.
func TestBetaPrimeByTables(t *testing.T) {
	for _, tc := range []struct{ df1, df2, f float64 }{{4, 10, 2.6053}, {10, 10, 2.3226}, {2, 20, 2.5893}, {20, 30, 1.6673}, {1, 10, 3.2850}, {120, 120, 1.2646}} {
		a, b := tc.df1/2, tc.df2/2
		if got := betaPrime(0.9, a, b) * b / a; math.Abs(got-tc.f) > 2e-4 {
			t.Errorf("F(%g, %g) is %.4f, want %.4f", tc.df1, tc.df2, got, tc.f)
		}
	}
	for _, b := range []float64{0.5, 1, 7.5, 300} {
		for _, p := range []float64{0.1, 0.5, 0.9} {
			if got, want := betaPrime(p, 1, b), math.Pow(1-p, -1/b)-1; math.Abs(got-want) > 1e-9*(1+want) {
				t.Errorf("beta prime of 1 and %g at %g: %g, want %g", b, p, got, want)
			}
		}
		if got := betaPrime(0.5, b, b); math.Abs(got-1) > 1e-9 {
			t.Errorf("the middle of %g and %g is %g", b, b, got)
		}
	}
}

// What is left brings its prices exactly; the band holds the time that the pace alone would give, gets narrower as more was seen, and is longer
// when dearer prints are bought by fewer.
func TestWhatIf(t *testing.T) {
	a := Ahead{Steps: steps(0, 90_00, 40, 110_00), Limit: 50, Sold: 30, Seen: 30, Days: 300, Now: usd(90_00)}
	got, err := WhatIf(a)
	if err != nil || got.Left != 20 || got.Income != usd(10*90_00+10*110_00) || !got.Known {
		t.Fatalf("%+v, %v", got, err)
	}
	if !(got.Sooner < got.Days && got.Days < got.Later) || got.Sooner > 200 || got.Later < 200 { // 20 prints at one in ten days
		t.Errorf("%+v", got)
	}
	more := a
	more.Seen, more.Days = 300, 3000
	if sure, _ := WhatIf(more); sure.Later-sure.Sooner >= got.Later-got.Sooner {
		t.Errorf("with ten times as much seen: %+v, before %+v", sure, got)
	}
	dear := a
	dear.Fewer = 200
	slow, err := WhatIf(dear)
	if err != nil || slow.Days <= got.Days || slow.Income != got.Income {
		t.Errorf("by fewer: %+v, %v", slow, err)
	}
	for name, change := range map[string]func(*Ahead){
		"sold out": func(a *Ahead) { a.Sold = 50 }, "nothing seen": func(a *Ahead) { a.Seen = 1 }, "no time": func(a *Ahead) { a.Days = 0 },
	} {
		x := a
		change(&x)
		if got, err := WhatIf(x); err != nil || got.Known {
			t.Errorf("%s: %+v, %v", name, got, err)
		}
	}
	for name, change := range map[string]func(*Ahead){
		"open": func(a *Ahead) { a.Limit = 0 }, "no steps": func(a *Ahead) { a.Steps = nil }, "fewer than none": func(a *Ahead) { a.Fewer = 1000 }, "negative": func(a *Ahead) { a.Days = -1 },
	} {
		x := a
		change(&x)
		if _, err := WhatIf(x); !fault.Is(err, fault.Invalid) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
