package fair_test

import (
	"testing"

	"solander/calendar"
	"solander/fair"
	"solander/fault"
	"solander/money"
	"solander/order"
)

var day = calendar.Date(2031, 5, 10)

func usd(minor int64) money.Amount { return money.Of(minor, "USD") }

// Reckoned by hand, invented: float 50.00, cash 120.00 less 20.00 paid back, 30.00 out of the box for the stall: 120.00 ought to be there.
func TestADayIsReckoned(t *testing.T) {
	pay := func(how order.How, minor int64, kind order.PaymentKind, on calendar.Day) order.Payment {
		return order.Payment{How: how, Amount: usd(minor), Kind: kind, Day: on}
	}
	undone := pay(order.InCash, 999, order.Balance, day)
	undone.Reversed = true
	orders := []order.Order{
		{Outlet: 2, InPerson: true, Payments: []order.Payment{pay(order.InCash, 120_00, order.Balance, day), pay(order.InCash, 20_00, order.Refund, day), undone}},
		{Outlet: 2, InPerson: true, Payments: []order.Payment{pay(order.ByCard, 80_00, order.Balance, day), pay(order.Another, 5_00, order.Balance, day), pay(order.Unsaid, 1_00, order.Balance, day)}},
		{Outlet: 2, InPerson: true, Payments: []order.Payment{pay(order.InCash, 7_00, order.Balance, day.Add(1))}}, // another day
		{Outlet: 3, InPerson: true, Payments: []order.Payment{pay(order.InCash, 7_00, order.Balance, day)}},        // elsewhere
		{Outlet: 2, Payments: []order.Payment{pay(order.InCash, 7_00, order.Balance, day)}},                        // it is sent
	}
	d := fair.Day{Outlet: 2, Day: day, Float: usd(50_00), Ended: true, Counted: usd(118_00)}
	got := d.Taken(orders, "USD")
	if want := (fair.Takings{Currency: "USD", Cash: 100_00, Card: 80_00, Other: 5_00, Unsaid: 1_00}); got != want || got.Sum() != usd(186_00) {
		t.Errorf("taken %+v, %s", got, got.Sum())
	}
	costs := []fair.Cost{{Amount: usd(30_00), FromBox: true}, {Amount: usd(9_00), FromBox: true, Reversed: true}, {Amount: usd(40_00)}}
	if box, off := d.Box(got, costs), d.Off(got, costs); box != usd(120_00) || off != usd(-2_00) {
		t.Errorf("in the box %s, off by %s", box, off)
	}
	if d.Ended = false; !d.Off(got, costs).IsZero() {
		t.Error("off before it was counted")
	}
	if d.Dropped = true; !d.Taken(orders, "USD").Sum().IsZero() {
		t.Error("a day that was none took something")
	}
}

func TestHoursAndWhatIsWrong(t *testing.T) {
	for text, want := range map[string]int64{"": 0, "6.5": 390, "6,25": 375, "10": 600, "24": 1440, "0.33": 20} {
		if got, err := fair.ParseHours(text); err != nil || got != want {
			t.Errorf("%q: %d, %v", text, got, err)
		}
	}
	for _, text := range []string{"24.5", "-1", "6h", "1.234", "."} {
		if _, err := fair.ParseHours(text); !fault.Is(err, fault.Invalid) {
			t.Errorf("%q: %v", text, err)
		}
	}
	for minutes, want := range map[int64]string{0: "", 390: "6.5", 600: "10", 375: "6.25"} {
		if got := fair.Hours(minutes); got != want {
			t.Errorf("%d minutes: %q", minutes, got)
		}
	}
	for _, d := range []fair.Day{{Outlet: 1, Name: ""}, {Name: "x"}, {Outlet: 1, Name: "x", Float: usd(-1)}, {Outlet: 1, Name: "x", Counted: usd(-1)}, {Outlet: 1, Name: "x", Minutes: 1441}} {
		if err := d.Validate(); !fault.Is(err, fault.Invalid) {
			t.Errorf("%+v: %v", d, err)
		}
	}
	for _, c := range []fair.Cost{{Kind: "gift", Amount: usd(1)}, {Kind: fair.Stall}, {Kind: fair.Stall, Amount: usd(-1)}} {
		if err := c.Validate(); !fault.Is(err, fault.Invalid) {
			t.Errorf("%+v: %v", c, err)
		}
	}
}
