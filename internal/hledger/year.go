package hledger

import (
	"maps"
	"slices"
	"strings"
	"testing"

	"solander/ledger"
	"solander/money"
	"solander/yearly"
)

// SameYear holds the rows of a year against the balances of a journal of that year alone, account by account and to the cent, and prints both into
// the test's output: every row is the sum of the balances of its accounts, and no balance
// is left over but what is hers, and the tax that outlets collect and pay on themselves.
func SameYear(t testing.TB, y yearly.Year, balances map[string]string) {
	t.Helper()
	left := maps.Clone(balances)
	for _, r := range y.Rows {
		_, accounts, _, err := yearly.Accounts(r.Key)
		if err != nil {
			t.Fatal(err)
		}
		want := money.Of(0, y.Currency)
		var parts []string
		for _, key := range accounts {
			a, _ := ledger.Known(key)
			name := a.Name + " " + y.Currency
			text, there := left[name]
			if !there {
				continue
			}
			delete(left, name)
			amount, err := money.Parse(text, y.Currency)
			if err != nil {
				t.Fatal(err)
			}
			parts = append(parts, a.Code+" "+a.Name+" "+text)
			if a.Class == ledger.Income || a.Class == ledger.Liability {
				amount = amount.Neg()
			}
			if want, err = want.Add(amount); err != nil {
				t.Fatal(err)
			}
		}
		if len(parts) > 0 || !r.Amount.IsZero() {
			t.Logf("%-52s %12s   hledger: %s", r.Name, r.Amount.Plain(), strings.Join(parts, "; "))
		}
		if r.Amount != want {
			t.Errorf("%s: the year says %s, the accounts come to %s", r.Name, r.Amount, want)
		}
	}
	for _, a := range ledger.Chart(nil) {
		if a.Class == ledger.Equity || a.Key == ledger.OutletTax || a.Key == ledger.OutletTaxGone {
			delete(left, a.Name+" "+y.Currency)
		}
	}
	for _, name := range slices.Sorted(maps.Keys(left)) {
		t.Errorf("%s: %s stands in no row of the year", name, left[name])
	}
}
