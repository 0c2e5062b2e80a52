package consign_test

import (
	"slices"
	"testing"

	"solander/calendar"
	"solander/consign"
	"solander/money"
)

// Worked by hand: 60.00 and 40.00 of January, 30.00 of the 29th of February, 20.00 of December; 70.00 were paid, which are the oldest.
func TestOpenStatements(t *testing.T) {
	usd := func(minor int64) money.Amount { return money.Of(minor, "USD") }
	sold := func(id int64, day calendar.Day, hers int64) consign.Print {
		return consign.Print{ID: id, State: consign.Sold, Ended: day, Sold: usd(2 * hers), Kept: usd(hers)}
	}
	prints := []consign.Print{
		sold(4, calendar.Date(2024, 12, 31), 20_00), sold(1, calendar.Date(2024, 1, 3), 60_00), sold(2, calendar.Date(2024, 1, 31), 40_00), sold(3, calendar.Date(2024, 2, 29), 30_00),
	}
	moneys := []consign.Money{{Kind: consign.Paid, Amount: usd(70_00)}, {Kind: consign.Paid, Amount: usd(9_00), Reversed: true}}
	got := consign.OpenStatements(consign.Debts(prints, moneys, 30, calendar.Date(2025, 1, 2)))
	want := []consign.OpenStatement{
		{First: calendar.Date(2024, 1, 31), Until: calendar.Date(2024, 1, 31), Own: usd(30_00), Owed: usd(30_00)},
		{First: calendar.Date(2024, 2, 29), Until: calendar.Date(2024, 2, 29), Own: usd(30_00), Owed: usd(60_00)},
		{First: calendar.Date(2024, 12, 31), Until: calendar.Date(2024, 12, 31), Own: usd(20_00), Owed: usd(80_00)},
	}
	if !slices.Equal(got, want) {
		t.Errorf("open are %+v, want %+v", got, want)
	}
	if consign.OpenStatements(nil) != nil {
		t.Error("nothing is owed, and a statement is open")
	}
}
