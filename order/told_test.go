package order

import (
	"fmt"
	"testing"

	"solander/money"
)

// What earlier editions wrote word for word, beside what is written now.
func TestPaymentsAreToldAlike(t *testing.T) {
	for _, c := range []struct {
		kind      PaymentKind
		once, now string
	}{
		{Balance, "90.00 USD paid (balance)", "90.00 USD paid"},
		{Deposit, "40.00 USD paid (deposit)", "40.00 USD paid, a deposit"},
		{Refund, "5.00 USD paid back", "5.00 USD paid back"},
	} {
		minor := map[PaymentKind]int64{Balance: 9000, Deposit: 4000, Refund: 500}[c.kind]
		if got := (Payment{Kind: c.kind, Amount: money.Of(minor, "USD")}).Told(); got != c.now {
			t.Errorf("a %s is told as %q, want %q", c.kind, got, c.now)
		}
		for _, text := range []string{c.once, c.now} {
			if got := ToldAnew(text); got != c.now {
				t.Errorf("%q is told anew as %q, want %q", text, got, c.now)
			}
		}
	}
}

// Payments that differ in kind or amount are told differently, by old words and by new ones.
func TestNoTwoPaymentsAreToldAlike(t *testing.T) {
	told := map[string]string{}
	for _, k := range PaymentKinds() {
		for _, minor := range []int64{1, 100, 9000} {
			p := Payment{Kind: k, Amount: money.Of(minor, "USD")}
			texts := []string{p.Told()}
			if once, ok := toldOnce[k]; ok {
				texts = append(texts, p.Amount.String()+once)
			}
			this := fmt.Sprint(k, minor)
			for _, text := range texts {
				if other, ok := told[ToldAnew(text)]; ok && other != this {
					t.Errorf("%s and %s are both told as %q", other, this, ToldAnew(text))
				}
				told[ToldAnew(text)] = this
			}
		}
	}
}
