package order_test

import (
	"testing"

	"solander/calendar"
	"solander/money"
	"solander/order"
)

// By hand: 227.50 are due. A refund does not make it paid, nor does what came back of it undo the day, unless it was paid again.
func TestPaidOn(t *testing.T) {
	first := calendar.Date(2026, 3, 1)
	pay := func(k order.PaymentKind, minor int64, day int) order.Payment {
		return order.Payment{Kind: k, Amount: money.Of(minor, "EUR"), Day: first.Add(day)}
	}
	wrong := pay(order.Balance, 227_50, 2)
	wrong.Reversed = true
	for name, tt := range map[string]struct {
		payments []order.Payment
		credit   int64
		want     int // days after the first; below nothing: none
	}{
		"nothing":                      {nil, 0, -1},
		"a deposit":                    {[]order.Payment{pay(order.Deposit, 100_00, 1)}, 0, -1},
		"deposit and balance":          {[]order.Payment{pay(order.Deposit, 100_00, 1), pay(order.Balance, 127_50, 4)}, 0, 4},
		"noted in another order":       {[]order.Payment{pay(order.Balance, 127_50, 4), pay(order.Deposit, 100_00, 1)}, 0, 4},
		"a refund after it":            {[]order.Payment{pay(order.Balance, 227_50, 1), pay(order.Refund, 20_00, 6)}, 0, 1},
		"a refund, a part of it again": {[]order.Payment{pay(order.Balance, 227_50, 1), pay(order.Refund, 20_00, 6), pay(order.Balance, 5_00, 8)}, 0, 1},
		"a refund, and all again":      {[]order.Payment{pay(order.Balance, 227_50, 1), pay(order.Refund, 20_00, 6), pay(order.Balance, 20_00, 8)}, 0, 8},
		"a wrong entry":                {[]order.Payment{wrong}, 0, -1},
		"a credit note, and the rest":  {[]order.Payment{pay(order.Deposit, 100_00, 1), pay(order.Balance, 107_50, 3)}, 20_00, 3},
	} {
		o := order.Order{State: order.Open, Postage: money.Of(227_50, "EUR"), Payments: tt.payments}
		if tt.credit > 0 {
			o.Credit = order.Credit{Left: money.Of(227_50-tt.credit, "EUR"), Notes: []order.CreditNote{{Amount: money.Of(tt.credit, "EUR")}}}
		}
		want := calendar.Day{}
		if tt.want >= 0 {
			want = first.Add(tt.want)
		}
		if got := o.PaidOn(); got != want {
			t.Errorf("%s: paid on %s, want %s", name, got, want)
		}
	}
}

func TestOwedInWords(t *testing.T) {
	for minor, want := range map[int64]string{
		0: "settled", 1: "0.01 EUR still owed", -1: "0.01 EUR to be paid back", 100_00: "100.00 EUR still owed", -100_00: "100.00 EUR to be paid back",
		-money.MaxMinor: money.Of(money.MaxMinor, "EUR").String() + " to be paid back",
	} {
		if got := order.OwedInWords(money.Of(minor, "EUR")); got != want {
			t.Errorf("%d is %q, want %q", minor, got, want)
		}
	}
	if got := order.OwedInWords(money.Amount{}); got != "settled" {
		t.Errorf("nothing in no currency is %q", got)
	}
}
