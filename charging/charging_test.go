package charging

import (
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"solander/calendar"
	"solander/fault"
	"solander/money"
)

func usd(minor int64) money.Amount { return money.Of(minor, "USD") }

func day(y int, m time.Month, d int) calendar.Day { return calendar.Date(y, m, d) }

// at is what a table keeps of prints alone on a day.
func at(t *testing.T, table Table, on calendar.Day, postage, tax int64, prints ...int64) int64 {
	t.Helper()
	b := Basis{Day: on, Postage: usd(postage), Tax: usd(tax)}
	for _, p := range prints {
		b.Prints = append(b.Prints, usd(p))
	}
	bill, err := table.OnSale(b)
	if err != nil {
		t.Fatal(err)
	}
	sum, err := bill.Sum()
	if err != nil {
		t.Fatal(err)
	}
	return sum.Minor
}

// Computed by hand: a share rounded to the cent, half away from zero, then the fixed part.
func TestShareAndFixedPart(t *testing.T) {
	for _, tc := range []struct{ share, fixed, total, want int64 }{
		{650, 0, 10_000, 650},
		{650, 20, 10_000, 670},
		{290, 30, 21_500, 654}, // 6.235 → 6.24
		{650, 0, 100, 7},       // 0.065 → 0.07
		{640, 0, 100, 6},       // 0.064 → 0.06
		{50, 0, 100, 1},        // 0.005 → 0.01
		{40, 0, 100, 0},
		{349, 49, 10_000, 398}, // 3.49 % of 100.00 + 0.49
		{Whole, 0, 12_345, 12_345},
		{0, 25, 12_345, 25},
		{650, 25, 0, 25},
	} {
		if got := at(t, Simple(tc.share, usd(tc.fixed)), day(2031, 1, 1), 0, 0, tc.total); got != tc.want {
			t.Errorf("%d of a hundredth of a per cent + %d of %d is %d, want %d", tc.share, tc.fixed, tc.total, got, tc.want)
		}
	}
}

// Computed by hand, a cent below each threshold, at it, and a cent above: 10 % up to 50.00, 8 % over 50.00 up to 200.00, 5 % and 1.00 over
// 200.00. Of the whole amount the fee falls where a tier begins; of the parts it never does.
func TestTiersAtAndAroundEachThreshold(t *testing.T) {
	whole := Table{
		{What: Sale, Name: "commission", UpTo: usd(50_00), Share: 1000},
		{What: Sale, Name: "commission", Over: usd(50_00), UpTo: usd(200_00), Share: 800},
		{What: Sale, Name: "commission", Over: usd(200_00), Share: 500, Fixed: usd(100)},
	}
	parts := Table{}
	for _, r := range whole {
		r.Parts = true
		parts = append(parts, r)
	}
	for _, table := range []Table{whole, parts} {
		if err := table.Check(); err != nil {
			t.Fatal(err)
		}
	}
	for _, tc := range []struct{ total, whole, parts int64 }{
		{0, 0, 0},
		{1, 0, 0}, // 0.001
		{5, 1, 1}, // 0.005 → 0.01
		{49_99, 5_00, 5_00},
		{50_00, 5_00, 5_00},
		{50_01, 4_00, 5_00},    // 8 % of 50.01 = 4.0008; 5.00 + 8 % of 0.01
		{50_07, 4_01, 5_01},    // 4.0056; 5.00 + 0.0056
		{199_99, 16_00, 17_00}, // 15.9992; 5.00 + 11.9992
		{200_00, 16_00, 17_00},
		{200_01, 11_00, 18_00}, // 10.0005 + 1.00; 17.00 + 0.0005 + 1.00
		{200_10, 11_01, 18_01}, // 10.005 → 10.01, + 1.00; 17.005 → 17.01, + 1.00
		{1000_00, 51_00, 58_00},
	} {
		if got := at(t, whole, day(2031, 1, 1), 0, 0, tc.total); got != tc.whole {
			t.Errorf("of the whole of %d: %d, want %d", tc.total, got, tc.whole)
		}
		if got := at(t, parts, day(2031, 1, 1), 0, 0, tc.total); got != tc.parts {
			t.Errorf("of the parts of %d: %d, want %d", tc.total, got, tc.parts)
		}
	}
}

// Computed by hand around the amounts at which least and most begin to hold: 5 % + 0.20, at least 1.00, at most 12.00. 5 % of 16.00 is
// 0.80, with 0.20 just the least; 5 % of 236.00 is 11.80, with 0.20 just the most.
func TestLeastAndMost(t *testing.T) {
	table := Table{{What: Sale, Name: "commission", Share: 500, Fixed: usd(20), Least: usd(100), Most: usd(12_00)}}
	for total, want := range map[int64]int64{
		0: 100, 15_89: 100, 15_99: 100, 16_00: 100, 16_09: 100, 16_10: 101, 16_20: 101,
		235_80: 11_99, 235_89: 11_99, 235_90: 12_00, 236_00: 12_00, 236_10: 12_00, 9999_00: 12_00,
	} {
		if got := at(t, table, day(2031, 1, 1), 0, 0, total); got != want {
			t.Errorf("of %d: %d, want %d", total, got, want)
		}
	}
}

// Computed by hand: two prints at 40.00 and 60.00, postage 8.00, tax 6.50.
func TestOnWhatAFeeIs(t *testing.T) {
	for of, want := range map[Of]int64{Prints: 10_00, Postage: 10_80, Tax: 11_45, EachPrint: 10_00, "": 10_00} {
		table := Table{{What: Sale, Name: "commission", Share: 1000, Of: of}}
		if got := at(t, table, day(2031, 1, 1), 8_00, 6_50, 40_00, 60_00); got != want {
			t.Errorf("of %q: %d, want %d", of, got, want)
		}
	}
	listing := Table{{What: Sale, Name: "listing", Fixed: usd(20), Of: EachPrint}}
	if got := at(t, listing, day(2031, 1, 1), 0, 0, 40_00, 60_00, 1_00); got != 60 {
		t.Errorf("a listing of 0.20 for each of three prints: %d", got)
	}
	if got := at(t, listing, day(2031, 1, 1), 5_00, 0); got != 0 {
		t.Errorf("a listing of no print: %d", got)
	}
	both := append(Simple(650, usd(45)), listing...)
	if got := at(t, both, day(2031, 1, 1), 0, 0, 100_00); got != 7_15 {
		t.Errorf("two charges side by side: %d, want 6.50 + 0.45 + 0.20", got)
	}
}

// Computed by hand around a threshold of 50.00 that postage, tax, or each print by itself passes: 10 % up to it, 8 % over it. Of 45.00 with 5.00 of
// postage the fee is 5.00, a cent more of postage makes it 4.00; tax lies behind the threshold only where the fee is on it; of prints each has its own tier.
func TestThresholdsOfPostageAndTax(t *testing.T) {
	for _, tc := range []struct {
		of                 Of
		postage, tax, want int64
		prints             []int64
	}{
		{Postage, 4_99, 0, 5_00, []int64{45_00}}, // 4.999
		{Postage, 5_00, 9_00, 5_00, []int64{45_00}},
		{Postage, 5_01, 9_00, 4_00, []int64{45_00}}, // 4.0008
		{Prints, 5_01, 9_00, 4_50, []int64{45_00}},
		{Tax, 3_00, 1_99, 5_00, []int64{45_00}}, // 4.999
		{Tax, 3_00, 2_00, 5_00, []int64{45_00}},
		{Tax, 3_00, 2_01, 4_00, []int64{45_00}},                // 4.0008
		{EachPrint, 9_00, 9_00, 9_00, []int64{50_00, 50_01}},   // 5.00 + 4.0008
		{EachPrint, 0, 0, 14_00, []int64{50_00, 49_99, 50_01}}, // 5.00 + 4.999 + 4.0008
	} {
		table := Table{{What: Sale, Name: "commission", UpTo: usd(50_00), Share: 1000, Of: tc.of}, {What: Sale, Name: "commission", Over: usd(50_00), Share: 800, Of: tc.of}}
		if err := table.Check(); err != nil {
			t.Fatal(err)
		}
		if got := at(t, table, day(2031, 1, 1), tc.postage, tc.tax, tc.prints...); got != tc.want {
			t.Errorf("of %q, %v with postage %d and tax %d: %d, want %d", tc.of, tc.prints, tc.postage, tc.tax, got, tc.want)
		}
	}
}

// A change holds from its day on, in the place of all rows of its kind before; the rows of payments stay.
func TestDatedChanges(t *testing.T) {
	table := append(Simple(500, usd(0)),
		Row{What: Sale, Name: "listing", Fixed: usd(20)},
		Row{From: day(2031, 3, 1), What: Sale, Name: "commission", Share: 650},
		Row{From: day(2032, 1, 1), What: Sale, Name: "commission", Share: 700, Of: Postage},
		Row{What: Payment, Name: "carrier", Share: 300, Fixed: usd(25)})
	if err := table.Check(); err != nil {
		t.Fatal(err)
	}
	for _, tc := range []struct {
		on   calendar.Day
		want int64
	}{
		{day(2000, 1, 1), 5_70}, {day(2031, 2, 28), 5_70}, // 5 % of 110.00 + 0.20
		{day(2031, 3, 1), 6_50}, {day(2031, 12, 31), 6_50}, {day(2032, 1, 1), 7_70}, {day(2050, 1, 1), 7_70},
	} {
		if got := at(t, table, tc.on, 10_00, 0, 100_00); got != tc.want {
			t.Errorf("on %s: %d, want %d", tc.on, got, tc.want)
		}
		bill, err := table.OnPayment(usd(110_00), tc.on)
		if sum, _ := bill.Sum(); err != nil || sum != usd(3_55) {
			t.Errorf("the payment on %s: %s, %v; want 3 %% of 110.00 + 0.25", tc.on, sum, err)
		}
	}
	if bill, err := table[:4].OnPayment(usd(1), day(2031, 1, 1)); err != nil || len(bill) != 0 {
		t.Errorf("without rows for payments: %v, %v", bill, err)
	}
}

// Every way in which a table is no table is told with its row, and a gap with where it lies.
func TestWhatIsNoTable(t *testing.T) {
	good := Row{What: Sale, Name: "commission", Share: 500}
	with := func(change func(*Row)) Row { r := good; change(&r); return r }
	for name, tc := range map[string]struct {
		table Table
		field string
		says  string
	}{
		"a gap between tiers": {Table{with(func(r *Row) { r.UpTo = usd(50_00) }), with(func(r *Row) { r.Over = usd(60_00) })}, "fees[1].over", "over 50.00 USD up to 60.00 USD"},
		"a gap of a cent":     {Table{with(func(r *Row) { r.Over = usd(50_01) }), with(func(r *Row) { r.UpTo = usd(50_00) })}, "fees[0].over", "over 50.00 USD up to 50.01 USD"},
		"a gap below":         {Table{with(func(r *Row) { r.Over = usd(1) })}, "fees[0].over", "up to 0.01 USD"},
		"a gap above":         {Table{with(func(r *Row) { r.UpTo = usd(50_00) })}, "fees[0].up_to", "over 50.00 USD"},
		"a gap in time":       {Table{with(func(r *Row) { r.From = day(2031, 1, 1) })}, "fees[0].from", "before 2031-01-01"},
		"two tiers":           {Table{with(func(r *Row) { r.UpTo = usd(50_00) }), with(func(r *Row) { r.Over = usd(40_00) })}, "fees[1].over", "two tiers"},
		"twice the same":      {Table{good, good}, "fees[1].over", "two tiers"},
		"of different things": {Table{with(func(r *Row) { r.UpTo = usd(50_00) }), with(func(r *Row) { r.Over = usd(50_00); r.Of = Tax })}, "fees[1].of", "different"},
		"part and whole":      {Table{with(func(r *Row) { r.UpTo = usd(50_00) }), with(func(r *Row) { r.Over = usd(50_00); r.Parts = true })}, "fees[1].parts", "some of a part"},
		"two currencies":      {Table{with(func(r *Row) { r.Fixed = usd(1); r.Least = money.Of(1, "EUR") })}, "fees[0].least", "EUR"},
		"over 100 %":          {Table{with(func(r *Row) { r.Share = Whole + 1 })}, "fees[0].share", "100 %"},
		"a negative share":    {Table{with(func(r *Row) { r.Share = -1 })}, "fees[0].share", "100 %"},
		"a negative part":     {Table{with(func(r *Row) { r.Fixed = usd(-1) })}, "fees[0].fixed", "negative"},
		"least above most":    {Table{with(func(r *Row) { r.Least = usd(2); r.Most = usd(1) })}, "fees[0].most", "below the least"},
		"no name":             {Table{with(func(r *Row) { r.Name = " " })}, "fees[0].name", "no name"},
		"no kind":             {Table{with(func(r *Row) { r.What = "gift" })}, "fees[0].what", "gift"},
		"of nothing known":    {Table{with(func(r *Row) { r.Of = "moon" })}, "fees[0].of", "moon"},
		"a payment's postage": {Table{with(func(r *Row) { r.What = Payment; r.Of = Postage })}, "fees[0].of", "what was paid"},
		"ends before it does": {Table{with(func(r *Row) { r.Over = usd(2); r.UpTo = usd(2) })}, "fees[0].up_to", "before it begins"},
		"too many rows":       {make(Table, MostRows+1), "fees", "too many"},
	} {
		all := fault.All(tc.table.Check())
		if len(all) == 0 || all[0].Code != fault.Invalid || all[0].Field != tc.field || !strings.Contains(all[0].What, tc.says) || all[0].Mend == "" {
			t.Errorf("%s: %+v", name, all)
		}
	}
	if err := (Table{}).Check(); err != nil {
		t.Errorf("no fee at all: %v", err)
	}
}

// A table in another money than the sale is no fee, never an amount.
func TestMixedCurrencies(t *testing.T) {
	table := Simple(650, money.Of(25, "EUR"))
	if _, err := table.OnSale(Basis{Prints: []money.Amount{usd(100)}}); !fault.Is(err, fault.Invalid) {
		t.Errorf("a fee in euros of a sale in dollars: %v", err)
	}
	if _, err := Simple(650, usd(1)).OnSale(Basis{Prints: []money.Amount{usd(100)}, Postage: money.Of(1, "EUR")}); !fault.Is(err, fault.Invalid) {
		t.Errorf("a sale of two currencies: %v", err)
	}
}

// Of any tiers: the fee of parts is within half a cent of the exact sum, which is added up here cent by cent, and never falls when the
// amount grows; one tier cut in two at any place comes to the same.
func TestLawsOfTiers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		share := rapid.Int64Range(0, Whole)
		cut1 := rapid.Int64Range(1, 300).Draw(t, "first cut")
		cut2 := cut1 + rapid.Int64Range(1, 300).Draw(t, "second cut")
		s := []int64{share.Draw(t, "a"), share.Draw(t, "b"), share.Draw(t, "c")}
		table := Table{
			{What: Sale, Name: "x", Parts: true, UpTo: usd(cut1), Share: s[0]},
			{What: Sale, Name: "x", Parts: true, Over: usd(cut2), Share: s[2]},
			{What: Sale, Name: "x", Parts: true, Over: usd(cut1), UpTo: usd(cut2), Share: s[1]},
		}
		if err := table.Check(); err != nil {
			t.Fatal(err)
		}
		fee := func(table Table, total int64) int64 {
			bill, err := table.OnSale(Basis{Prints: []money.Amount{usd(total)}})
			if err != nil {
				t.Fatal(err)
			}
			return bill[0].Amount.Minor
		}
		total := rapid.Int64Range(0, 900).Draw(t, "total")
		exact := int64(0)
		for cent := int64(1); cent <= total; cent++ {
			switch {
			case cent <= cut1:
				exact += s[0]
			case cent <= cut2:
				exact += s[1]
			default:
				exact += s[2]
			}
		}
		if off := Whole*fee(table, total) - exact; off <= -Whole/2 || off > Whole/2 {
			t.Fatalf("the fee of %d is %d, exactly %d ten-thousandths", total, fee(table, total), exact)
		}
		if fee(table, total+1) < fee(table, total) {
			t.Fatalf("the fee falls above %d", total)
		}
		one := Table{{What: Sale, Name: "x", Parts: true, UpTo: usd(cut1), Share: s[0]}, {What: Sale, Name: "x", Parts: true, Over: usd(cut1), Share: s[0]}}
		if a, b := fee(one, total), fee(Table{{What: Sale, Name: "x", Share: s[0]}}, total); a != b {
			t.Fatalf("one share in two tiers comes to %d, in one to %d", a, b)
		}
	})
}

func TestTableInWords(t *testing.T) {
	table := Table{
		{What: Sale, Name: "commission", Share: 650, Fixed: usd(45), Of: Postage, UpTo: usd(50_00)},
		{What: Sale, Name: "commission", Share: 349, Of: Postage, Over: usd(50_00), Least: usd(100), Most: usd(20_00), Parts: true},
		{What: Payment, Name: "carrier", Share: 300},
	}
	want := "commission: 6.5 % of prints and postage + 0.45 USD, up to 50.00 USD; " +
		"commission: 3.49 % of prints and postage, at least 1.00 USD, at most 20.00 USD, over 50.00 USD (that part alone); carrier: 3 % of the payment"
	if got := table.Tells(day(2031, 1, 1)); got != want {
		t.Errorf("%s\nwant %s", got, want)
	}
	if got := (Table{}).Tells(day(2031, 1, 1)); got != "none" {
		t.Error(got)
	}
}
