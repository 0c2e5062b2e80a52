package newsale

import (
	"strings"

	"solander/book"
	"solander/currencies"
	"solander/fault"
	"solander/money"
	"solander/web/form"
)

// askAgreed asks in which other currency the sale was agreed, if it was, and what was paid in that.
func askAgreed(fm *form.Form, in *book.Sale, currency string) {
	var code string
	var total *money.Amount
	agreed := func() string {
		if c := strings.ToUpper(strings.TrimSpace(code)); c != "" {
			return c
		}
		return currency
	}
	like := "EUR"
	if currency == like {
		like = "USD"
	}
	fm.Text("currency", "Agreed in", &code).Small().WithHint("another currency, like " + like + "; empty: " + currency).WithAuto("off")
	var sum money.Amount
	typed := fm.AmountIn("agreed", "Agreed as", &sum, agreed).OrEmpty().WithHint("what all of it comes to in that currency; empty: by the rate of the day of the sale")
	fm.AmountIn("paid", "Paid already", &in.Paid, agreed).OrEmpty().WithHint("in the currency agreed; empty: nothing yet")
	fm.AmountIf("paid_worth", "What the bank made of it", &in.PaidWorth, currency).WithHint("of another currency, in " + currency + "; empty: by the day's rate")
	fm.Then(func(l *fault.List) {
		in.Agreed, total = nil, nil
		if typed.Value != "" {
			total = &sum
		}
		l.Check(total == nil || code != "", "currency", "it is missing", "name the currency of what was agreed, or leave that out")
		if code != "" {
			in.Agreed = &currencies.AgreeIn{Currency: agreed(), Total: total}
		}
	})
}
