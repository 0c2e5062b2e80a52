package owing

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"solander/calendar"
	"solander/money"
	"solander/order"
)

var today = calendar.Date(2031, 3, 31)

func usd(minor int64) money.Amount { return money.Of(minor, "USD") }

// sale is an order over 120.00 of so many days ago.
func sale(id int64, days int, paid ...order.Payment) order.Order {
	return order.Order{
		ID: id, Mark: "S-" + string(rune('0'+id)), State: order.Open, Placed: today.Add(-days), Postage: usd(0), Tax: usd(0),
		Lines: []order.Line{{ID: id, Price: usd(12000)}}, Payments: paid,
	}
}

func paid(k order.PaymentKind, minor int64, days int) order.Payment {
	return order.Payment{Kind: k, Amount: usd(minor), Day: today.Add(-days)}
}

// Each order owes what is left of it, by the days since its sale. Worked by hand; the ages 30, 60 and 90 are common practice, no source.
func TestAges(t *testing.T) {
	overpaid := sale(5, 10, paid(order.Balance, 12000, 8))
	overpaid.State, overpaid.Closed = order.Cancelled, today.Add(-2)
	var items []Item
	for _, o := range []order.Order{
		sale(1, 30), sale(2, 31, paid(order.Deposit, 4000, 31)), sale(3, 60), sale(4, 61), sale(6, 90), sale(7, 91), sale(8, 5, paid(order.Balance, 12000, 5)), overpaid,
	} {
		items = append(items, Of(o, Abroad{}, today)...)
	}
	a, err := Age(items, today, "USD")
	if err != nil {
		t.Fatal(err)
	}
	want := map[Kind][]int64{
		Whole:   {12000, 12000, 24000, 12000, 60000},
		Balance: {0, 8000, 0, 0, 8000},
		Back:    {12000, 0, 0, 0, 12000},
		Held:    {12000, 4000, 0, 0, 16000},
	}
	got := map[Kind][]int64{}
	for _, r := range a.Rows {
		for _, x := range append(slices.Clone(r.Spans), r.Sum) {
			got[r.Kind] = append(got[r.Kind], x.Minor)
		}
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	if a.Owed.Minor != 68000 || a.Items[0].Mark != "S-7" || a.Items[0].Days != 91 {
		t.Errorf("owed %s, the oldest %+v", a.Owed, a.Items[0])
	}
	if got := []string{a.Spans[0].Words(), a.Spans[3].Words()}; !slices.Equal(got, []string{"0–30 days", "over 90 days"}) {
		t.Error(got)
	}
}

// What is owed by kind is what the orders owe; no order owes and is owed.
func TestAgesAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var items []Item
		var owes, back int64
		for i := range rapid.IntRange(0, 20).Draw(t, "orders") {
			o := sale(int64(i+1), rapid.IntRange(0, 200).Draw(t, "days"), paid(order.Deposit, rapid.Int64Range(1, 20000).Draw(t, "paid"), 0))
			o.State = rapid.SampledFrom([]order.State{order.Open, order.Closed, order.Cancelled}).Draw(t, "state")
			if n := o.Owed().Minor; n > 0 {
				owes += n
			} else {
				back -= n
			}
			items = append(items, Of(o, Abroad{}, today)...)
		}
		a, err := Age(items, today, "USD")
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range a.Rows {
			var sum int64
			for _, x := range r.Spans {
				sum += x.Minor
			}
			if sum != r.Sum.Minor {
				t.Fatalf("%s: the ages are together %d, in all %d", r.Kind, sum, r.Sum.Minor)
			}
			if r.Kind == Back && sum != back {
				t.Fatalf("to pay back %d, want %d", sum, back)
			}
		}
		if a.Owed.Minor != owes {
			t.Fatalf("owed %s, want %d", a.Owed, owes)
		}
	})
}

func TestAgesOfTwoCurrencies(t *testing.T) {
	if _, err := Age([]Item{{Kind: Whole, Amount: usd(1)}, {Kind: Whole, Amount: money.Of(1, "EUR")}}, today, "USD"); err == nil {
		t.Error("dollars and euros were added")
	}
}

// Worked by hand: two sales of 120.00, 40.00 paid at once, 80.00 later, 20.00 paid back, the second cancelled.
func TestStatement(t *testing.T) {
	first := sale(1, 40, paid(order.Deposit, 4000, 40), paid(order.Balance, 8000, 10), paid(order.Refund, 2000, 5))
	second := sale(2, 20)
	second.State = order.Cancelled
	wrong := paid(order.Deposit, 5000, 20)
	wrong.Reversed = true
	second.Payments = []order.Payment{wrong}
	s, err := StatementOf([]order.Order{second, first}, nil, calendar.Day{}, today, "USD")
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, e := range s.Entries {
		got = append(got, e.Mark+" "+e.Text+" "+e.Charge.Plain()+" "+e.Paid.Plain()+" "+e.Balance.Plain())
	}
	want := []string{
		"S-1 Sale 120.00 0.00 120.00", "S-1 Paid, a deposit 0.00 40.00 80.00", "S-2 Sale, cancelled since 0.00 0.00 80.00",
		"S-1 Paid 0.00 80.00 0.00", "S-1 Paid back 0.00 -20.00 20.00",
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	part, err := StatementOf([]order.Order{first, second}, nil, today.Add(-39), today.Add(-10), "USD")
	if err != nil || part.Opening.Minor != 8000 || part.Closing.Minor != 0 || len(part.Entries) != 2 {
		t.Errorf("%+v %v", part, err)
	}
}

// Worked by hand: what was paid back of a sale that went is shown, and owed no more: the latest first, when a part was paid again.
func TestAStatementOfWhatWasGiven(t *testing.T) {
	o := sale(1, 40, paid(order.Balance, 12000, 40), paid(order.Refund, 2000, 5), paid(order.Refund, 500, 4), paid(order.Balance, 1200, 3))
	o.State = order.Closed
	s, err := StatementOf([]order.Order{o}, nil, calendar.Day{}, today, "USD")
	if err != nil || s.Charged != usd(10700) || s.Paid != usd(10700) || !s.Closing.IsZero() {
		t.Errorf("%+v %v", s, err)
	}
	var got []string
	for _, e := range s.Entries {
		got = append(got, e.Text+" "+e.Charge.Plain()+" "+e.Paid.Plain()+" "+e.Balance.Plain())
	}
	want := []string{
		"Sale 120.00 0.00 120.00", "Paid 0.00 120.00 0.00", "Paid back, 8.00 USD of it for good -8.00 -20.00 12.00",
		"Paid back for good -5.00 -5.00 12.00", "Paid 0.00 12.00 0.00",
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	if items := Of(o, Abroad{}, today); len(items) > 0 {
		t.Errorf("owed are %+v", items)
	}
	eur := func(minor int64) money.Amount { return money.Of(minor, "EUR") }
	o.Payments = o.Payments[:2]
	o.Payments[0].ID, o.Payments[1].ID = 1, 2
	abroad := map[int64]Abroad{1: {Total: eur(100_00), Paid: eur(84_00), Given: eur(16_00), Came: map[int64]money.Amount{1: eur(100_00), 2: eur(16_00)}}}
	if s, err = StatementOf([]order.Order{o}, abroad, calendar.Day{}, today, "USD"); err != nil || len(s.Abroad) > 0 || !s.Closing.IsZero() || s.Entries[2].Abroad != eur(-16_00) {
		t.Errorf("%+v %v", s, err)
	}
}

// Worked by hand: of an open sale of 120.00 a credit note took off 20.00, which were paid back in part; and in euros, agreed as 100.00, 16.67 of them.
func TestAStatementOfWhatWasTakenOff(t *testing.T) {
	o := sale(1, 40, paid(order.Balance, 12000, 40), paid(order.Refund, 1500, 4))
	o.Credit = order.Credit{Left: usd(10000), Notes: []order.CreditNote{{Bill: 2, Label: "C-1", Day: today.Add(-5), Amount: usd(2000)}}}
	s, err := StatementOf([]order.Order{o}, nil, calendar.Day{}, today, "USD")
	if err != nil || s.Charged != usd(10500) || s.Paid != usd(10500) || !s.Closing.IsZero() {
		t.Errorf("%+v %v", s, err)
	}
	var got []string
	for _, e := range s.Entries {
		got = append(got, e.Text+" "+e.Charge.Plain()+" "+e.Paid.Plain()+" "+e.Balance.Plain())
	}
	want := []string{"Sale 120.00 0.00 120.00", "Paid 0.00 120.00 0.00", "Credit note C-1 -15.00 0.00 -15.00", "Paid back 0.00 -15.00 0.00"}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	for _, it := range Of(o, Abroad{}, today) {
		if it.Kind != Held || it.Amount != usd(10500) {
			t.Errorf("owed is %+v", it)
		}
	}
	eur := func(minor int64) money.Amount { return money.Of(minor, "EUR") }
	o.Payments[0].ID, o.Payments[1].ID = 1, 2
	abroad := map[int64]Abroad{1: {Total: eur(100_00), Paid: eur(87_50), Given: eur(12_50), Credited: eur(16_67), Came: map[int64]money.Amount{1: eur(100_00), 2: eur(12_50)}}}
	if s, err = StatementOf([]order.Order{o}, abroad, calendar.Day{}, today, "USD"); err != nil || len(s.Abroad) > 0 || s.Entries[2].Abroad != eur(-12_50) {
		t.Errorf("%+v %v", s, err)
	}
}

// Worked by hand: a sale of 120.00 agreed as 100.00 EUR, of which 40.00 came and 10.00 went back; one in USD beside it; one that was changed since.
func TestAStatementOfTwoCurrencies(t *testing.T) {
	eur := func(minor int64) money.Amount { return money.Of(minor, "EUR") }
	first := sale(1, 40, paid(order.Deposit, 4800, 40), paid(order.Refund, 1200, 5))
	first.Payments[0].ID, first.Payments[1].ID = 1, 2
	changed := sale(3, 10, paid(order.Deposit, 1000, 10))
	changed.Payments[0].ID = 3
	abroad := map[int64]Abroad{
		1: {Total: eur(100_00), Paid: eur(30_00), Owed: eur(70_00), Came: map[int64]money.Amount{1: eur(40_00), 2: eur(10_00)}},
	}
	s, err := StatementOf([]order.Order{first, sale(2, 20), changed}, abroad, calendar.Day{}, today, "USD")
	if err != nil || !slices.Equal(s.Abroad, []money.Amount{eur(70_00)}) || s.Closing != usd(314_00) {
		t.Errorf("%v of %s are owed in euros, %v", s.Abroad, s.Closing, err)
	}
	var got []money.Amount
	for _, e := range s.Entries {
		if e.Order == 1 {
			got = append(got, e.Abroad)
		}
	}
	if diff := cmp.Diff([]money.Amount{eur(100_00), eur(40_00), eur(-10_00)}, got); diff != "" {
		t.Error(diff)
	}
	a, err := Age(Of(first, abroad[1], today), today, "USD")
	if err != nil || len(a.Items) != 1 || a.Items[0].Amount != usd(84_00) || a.Items[0].Abroad != eur(70_00) || a.Deposits[0].Abroad != eur(30_00) {
		t.Errorf("owed are %+v, held %+v, %v", a.Items, a.Deposits, err)
	}
}

// However the days are divided: one statement ends where the next begins, and the last one ends with what the orders owe.
func TestStatementsFollowOnOneAnother(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var orders []order.Order
		var owed int64
		for i := range rapid.IntRange(0, 8).Draw(t, "orders") {
			o := sale(int64(i+1), rapid.IntRange(0, 100).Draw(t, "days"))
			o.State = rapid.SampledFrom([]order.State{order.Open, order.Closed, order.Cancelled}).Draw(t, "state")
			for range rapid.IntRange(0, 3).Draw(t, "payments") {
				k := rapid.SampledFrom(order.PaymentKinds()).Draw(t, "kind")
				o.Payments = append(o.Payments, paid(k, rapid.Int64Range(1, 9000).Draw(t, "amount"), rapid.IntRange(0, 100).Draw(t, "ago")))
			}
			owed += o.Owed().Minor
			orders = append(orders, o)
		}
		cut := today.Add(-rapid.IntRange(0, 100).Draw(t, "cut"))
		before, err := StatementOf(orders, nil, calendar.Day{}, cut, "USD")
		if err != nil {
			t.Fatal(err)
		}
		after, err := StatementOf(orders, nil, cut.Add(1), today, "USD")
		if err != nil {
			t.Fatal(err)
		}
		if before.Closing != after.Opening || after.Closing.Minor != owed {
			t.Fatalf("until %s %s, after it %s to %s; owed %d", cut, before.Closing, after.Opening, after.Closing, owed)
		}
		if sum := after.Opening.Minor + after.Charged.Minor - after.Paid.Minor; sum != after.Closing.Minor {
			t.Fatalf("%+v does not add up", after)
		}
	})
}
