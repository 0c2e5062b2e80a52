package order_test

import (
	"testing"

	"solander/money"
	"solander/order"
)

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
