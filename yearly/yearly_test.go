package yearly

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"solander/fault"
	"solander/ledger"
	"solander/money"
)

// Every account but what is hers stands in one row, and no row holds another: so what is left is what the accounts come to.
func TestEveryAccountStandsInOneRow(t *testing.T) {
	in := map[string]int{}
	for _, k := range kinds {
		for _, a := range k.accounts {
			known, ok := ledger.Known(a)
			if in[a]++; !ok {
				t.Errorf("%s: there is no account %s", k.key, a)
			}
			want := map[ledger.Class][]Part{ledger.Income: {Income}, ledger.Expense: {Costs}, ledger.Asset: {Stock, Open}, ledger.Liability: {Open}}[known.Class]
			if !slices.Contains(want, k.part) {
				t.Errorf("%s, a %s, stands among %s", a, known.Class, k.part)
			}
		}
	}
	for _, a := range ledger.Chart(nil) {
		want := 1
		if a.Class == ledger.Equity || a.Key == ledger.OutletTax || a.Key == ledger.OutletTaxGone { // what is hers; what outlets collect and pay on themselves
			want = 0
		}
		if in[a.Key] != want {
			t.Errorf("account %s stands in %d rows, want %d", a.Key, in[a.Key], want)
		}
	}
}

// Worked by hand.
func TestOf(t *testing.T) {
	usd := func(n int64) money.Amount { return money.Of(n, "USD") }
	all, err := Of(2031, []Month{
		{"", ledger.Sheets, usd(50000)},
		{"", ledger.Sales, usd(-99999)}, // of years before
		{"2031-01", ledger.Sales, usd(-12000)},
		{"2031-12", ledger.Sales, usd(-8000)},
		{"2031-12", ledger.Returns, usd(3000)},
		{"2031-01", ledger.CostOfPrints, usd(2500)},
		{"2031-01", ledger.Sheets, usd(-2500)},
		{"2031-03", ledger.OutletFees, usd(780)},
		{"2031-03", ledger.PaymentFees, usd(20)},
		{"2031-03", ledger.Sales, money.Of(-500, "EUR")},
	}, "USD")
	if err != nil || len(all) != 2 || all[0].Currency != "USD" || all[1].Currency != "EUR" || all[1].Income.Minor != 500 {
		t.Fatalf("%+v %v", all, err)
	}
	got := map[string]int64{}
	for _, r := range all[0].Rows {
		got[r.Key] = r.Amount.Minor
	}
	for key, want := range map[string]int64{"sales": 20000, "refunds": -3000, "cost-of-goods": 2500, "fees": 800, "sheets": 47500} {
		if got[key] != want {
			t.Errorf("%s is %d, want %d", key, got[key], want)
		}
	}
	y := all[0]
	if y.Income.Minor != 17000 || y.Costs.Minor != 3300 || y.Left.Minor != 13700 || y.Rows[0].Months[0].Minor != 12000 || y.Rows[0].Months[11].Minor != 8000 {
		t.Errorf("%+v", y)
	}
}

// Whatever moved: the months of a row are the row, and what is left is what all accounts of income and costs come to.
func TestTheYearIsWhatMoved(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var sums []Month
		var moved int64
		for range rapid.IntRange(0, 30).Draw(t, "sums") {
			a := rapid.SampledFrom(ledger.Chart(nil)).Draw(t, "account")
			m := Month{rapid.SampledFrom([]string{"", "2031-01", "2031-07", "2031-12"}).Draw(t, "month"), a.Key, money.Of(rapid.Int64Range(-1e6, 1e6).Draw(t, "amount"), "USD")}
			if sums = append(sums, m); m.Month != "" && (a.Class == ledger.Income || a.Class == ledger.Expense) {
				moved += m.Amount.Minor
			}
		}
		all, err := Of(2031, sums, "USD")
		if err != nil || all[0].Left.Minor != -moved {
			t.Fatalf("left %s, moved %d, %v", all[0].Left, moved, err)
		}
		for _, r := range all[0].Rows {
			var sum int64
			for _, m := range r.Months {
				sum += m.Minor
			}
			if len(r.Months) > 0 && sum != r.Amount.Minor {
				t.Fatalf("%s: the months are %d, the year %s", r.Key, sum, r.Amount)
			}
		}
	})
}

func TestAccountsOfARow(t *testing.T) {
	if name, accounts, atEnd, err := Accounts("sheets"); name == "" || len(accounts) != 2 || !atEnd || err != nil {
		t.Errorf("%s %v %v %v", name, accounts, atEnd, err)
	}
	if _, _, _, err := Accounts("tips"); !fault.Is(err, fault.Missing) {
		t.Error(err)
	}
}
