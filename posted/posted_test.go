package posted_test

import (
	"maps"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"solander/calendar"
	"solander/exchange"
	"solander/layers"
	"solander/ledger"
	"solander/money"
	"solander/order"
	"solander/posted"
	"solander/supply"
)

var day = calendar.Date(2026, 4, 14)

func usd(n int64) money.Amount { return money.Of(n, "USD") }

// sums are what events come to, by account; each of them balances.
func sums(t interface {
	Helper()
	Errorf(string, ...any)
}, events []ledger.Event,
) map[string]int64 {
	t.Helper()
	out := map[string]int64{}
	for _, e := range events {
		if err := ledger.Balanced(e.Lines); err != nil {
			t.Errorf("%s: %v", e.Part, err)
		}
		for _, l := range e.Lines {
			out[l.Account] += l.Amount.Minor
		}
	}
	maps.DeleteFunc(out, func(_ string, n int64) bool { return n == 0 })
	return out
}

// An order of prints for 50.00, 30.00 and 20.00 with postage of 10.00 and a tax of 7.00, on which the outlet keeps 6.50.
func three() posted.Book {
	o := order.Order{ID: 4, Mark: "S-1004", Outlet: 2, Placed: day, State: order.Open, Postage: usd(10_00), Tax: usd(7_00), Fee: usd(6_50)}
	for i, price := range []int64{50_00, 30_00, 20_00} {
		o.Lines = append(o.Lines, order.Line{ID: int64(i + 1), Order: 4, Edition: 9, Price: usd(price)})
	}
	return posted.Book{Order: o, Left: map[int64]calendar.Day{}}
}

func paid(b *posted.Book, kind order.PaymentKind, n int64) {
	b.Payments = append(b.Payments, order.Payment{ID: int64(len(b.Payments) + 1), Order: b.ID, Kind: kind, Amount: usd(n), Day: day})
}

// All worked by hand. 10.00 in three is 3.34, 3.33, 3.33; 7.00 by 50, 30 and 20 is 3.50, 2.10, 1.40; 6.50 is 3.25, 1.95, 1.30.
func TestOrders(t *testing.T) {
	for name, c := range map[string]struct {
		make func(*posted.Book)
		want map[string]int64
	}{
		"nothing happened": {func(*posted.Book) {}, map[string]int64{}},
		"a deposit is owed to the buyer": {func(b *posted.Book) { paid(b, order.Deposit, 40_00) }, map[string]int64{
			ledger.AtOutlets: 40_00, ledger.Deposits: -40_00,
		}},
		"a payment that was taken back is none": {func(b *posted.Book) {
			paid(b, order.Deposit, 40_00)
			b.Payments[0].Reversed = true
		}, map[string]int64{}},
		"one print left": {func(b *posted.Book) {
			paid(b, order.Balance, 117_00)
			b.Lines[0].Sent = true
		}, map[string]int64{
			ledger.AtOutlets: 117_00 - 3_25, ledger.Sales: -50_00, ledger.PostageCharged: -3_34, ledger.Tax: -3_50, ledger.OutletFees: 3_25,
			ledger.Deposits: -(117_00 - 56_84),
		}},
		"all left, half of it paid": {func(b *posted.Book) {
			paid(b, order.Deposit, 60_00)
			b.State = order.Closed
		}, map[string]int64{
			ledger.AtOutlets: 60_00 - 6_50, ledger.Sales: -100_00, ledger.PostageCharged: -10_00, ledger.Tax: -7_00, ledger.OutletFees: 6_50, ledger.Buyers: 57_00,
		}},
		"the outlet collects the tax": {func(b *posted.Book) {
			paid(b, order.Balance, 110_00)
			b.State, b.TaxByOutlet = order.Closed, true
		}, map[string]int64{
			ledger.AtOutlets: 110_00 - 6_50, ledger.Sales: -100_00, ledger.PostageCharged: -10_00, ledger.OutletTax: -7_00, ledger.OutletTaxGone: 7_00, ledger.OutletFees: 6_50,
		}},
		"what was kept back of a payment": {func(b *posted.Book) {
			paid(b, order.Deposit, 60_00)
			b.Payments[0].Fee = usd(2_04)
		}, map[string]int64{ledger.AtOutlets: 57_96, ledger.PaymentFees: 2_04, ledger.Deposits: -60_00}},
		"the second print came back, and is not paid back yet": {func(b *posted.Book) {
			paid(b, order.Balance, 117_00)
			b.State = order.Closed
			b.Lines[1].Dropped, b.Lines[1].Sent = true, true
		}, map[string]int64{ // postage 5.00 each of two, tax 5.00 and 2.00; its fee stays
			ledger.AtOutlets: 117_00 - 6_50, ledger.Sales: -100_00, ledger.Returns: 30_00, ledger.PostageCharged: -10_00, ledger.Tax: -7_00, ledger.OutletFees: 6_50,
			ledger.Deposits: -30_00,
		}},
		"all came back and was paid back": {func(b *posted.Book) {
			paid(b, order.Balance, 117_00)
			paid(b, order.Refund, 117_00)
			b.State, b.Closed = order.Returned, day
			for i := range b.Lines {
				b.Lines[i].Dropped, b.Lines[i].Sent = true, true
			}
		}, map[string]int64{
			ledger.AtOutlets: -6_50, ledger.Sales: -100_00, ledger.PostageCharged: -10_00, ledger.Returns: 110_00, ledger.OutletFees: 6_50,
		}},
		"something was paid back for a print that stays": {func(b *posted.Book) {
			paid(b, order.Balance, 117_00)
			paid(b, order.Refund, 12_00)
			b.State = order.Closed
		}, map[string]int64{
			ledger.AtOutlets: 105_00 - 6_50, ledger.Sales: -100_00, ledger.PostageCharged: -10_00, ledger.Tax: -7_00, ledger.OutletFees: 6_50, ledger.Refunds: 12_00,
		}},
		"cancelled, and not all of it paid back": {func(b *posted.Book) {
			paid(b, order.Deposit, 40_00)
			paid(b, order.Refund, 15_00)
			b.State = order.Cancelled
			for i := range b.Lines {
				b.Lines[i].Dropped = true
			}
		}, map[string]int64{ledger.AtOutlets: 25_00, ledger.Deposits: -25_00}},
	} {
		t.Run(name, func(t *testing.T) {
			b := three()
			c.make(&b)
			if got := sums(t, posted.Order(b)); !maps.Equal(got, c.want) {
				t.Errorf("got  %v\nwant %v", got, c.want)
			}
		})
	}
}

// However an order stands: every event balances, no two have the same part, and what the buyer owes, paid ahead or was paid back for good is what
// is due of what left, less what was paid.
func TestOrdersBalance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := three()
		b.TaxByOutlet = rapid.Bool().Draw(t, "by outlet")
		b.State = rapid.SampledFrom([]order.State{order.Open, order.Closed, order.Cancelled, order.Returned}).Draw(t, "state")
		for i := range b.Lines {
			b.Lines[i].Price = usd(rapid.Int64Range(0, 10_000).Draw(t, "price"))
			b.Lines[i].Dropped, b.Lines[i].Sent = rapid.Bool().Draw(t, "dropped"), rapid.Bool().Draw(t, "sent")
		}
		b.Postage, b.Fee = usd(rapid.Int64Range(0, 999).Draw(t, "postage")), usd(rapid.Int64Range(0, 999).Draw(t, "fee"))
		for range rapid.IntRange(0, 4).Draw(t, "payments") {
			paid(&b, rapid.SampledFrom(order.PaymentKinds()).Draw(t, "kind"), rapid.Int64Range(1, 9_000).Draw(t, "amount"))
		}
		for i := range rapid.IntRange(0, 2).Draw(t, "credit notes") {
			b.Credit.Left = usd(rapid.Int64Range(0, 20_000).Draw(t, "left"))
			b.Credit.Notes = append(b.Credit.Notes, order.CreditNote{Bill: int64(i + 1), Label: "C-1", Day: b.Placed, Amount: usd(rapid.Int64Range(1, 9_000).Draw(t, "taken off"))})
		}
		events := posted.Order(b)
		got := sums(t, events)
		var parts []string
		for _, e := range events {
			parts = append(parts, e.Part)
		}
		if slices.Sort(parts); len(slices.Compact(parts)) != len(events) {
			t.Errorf("two events have one part: %v", parts)
		}
		due := -got[ledger.Sales] - got[ledger.PostageCharged] - got[ledger.Returns] - got[ledger.Tax]
		if open := got[ledger.Buyers] + got[ledger.Deposits] + got[ledger.Refunds]; open != due-b.Paid().Minor {
			t.Errorf("%d is open, of %d due and %s paid", open, due, b.Paid())
		}
		if b.State == order.Closed && due != b.Due().Minor && len(b.Live()) > 0 {
			t.Errorf("%d is due, the order says %s", due, b.Due())
		}
		if owed := got[ledger.Buyers] + got[ledger.Deposits]; b.State == order.Closed && len(b.Live()) > 0 && (owed != b.Owed().Minor || got[ledger.Refunds] != b.Given().Minor) {
			t.Errorf("%d is owed and %d given, the order says %s and %s", owed, got[ledger.Refunds], b.Owed(), b.Given())
		}
	})
}

// What payments were worth in another currency changes what came and what was gained, and nothing else: what buyers owe stays as it was.
func TestGainsOfRates(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := three()
		b.Came = map[int64]exchange.Came{}
		gain := int64(0)
		for range rapid.IntRange(1, 4).Draw(t, "payments") {
			kind := rapid.SampledFrom(order.PaymentKinds()).Draw(t, "kind")
			paid(&b, kind, rapid.Int64Range(1, 9_000).Draw(t, "amount"))
			p := b.Payments[len(b.Payments)-1]
			worth := rapid.Int64Range(0, 12_000).Draw(t, "worth")
			b.Came[p.ID] = exchange.Came{Payment: p.ID, Worth: usd(worth)}
			if kind == order.Refund {
				gain += p.Amount.Minor - worth
			} else {
				gain += worth - p.Amount.Minor
			}
		}
		got := sums(t, posted.Order(b))
		b.Came = nil
		want := sums(t, posted.Order(b))
		for account, n := range map[string]int64{ledger.AtOutlets: gain, ledger.Exchange: -gain} {
			if want[account] += n; want[account] == 0 {
				delete(want, account)
			}
		}
		maps.DeleteFunc(got, func(_ string, n int64) bool { return n == 0 })
		maps.DeleteFunc(want, func(_ string, n int64) bool { return n == 0 })
		if !maps.Equal(got, want) {
			t.Errorf("got %v, want %v", got, want)
		}
	})
}

// prints of a parcel that two orders share: two of S-1004, one of S-1005.
var prints = []posted.Print{
	{Refs: ledger.Refs{Order: 5, Line: 7, Edition: 3, Outlet: 1}, Mark: "S-1005"},
	{Refs: ledger.Refs{Order: 4, Line: 1, Edition: 9, Outlet: 2}, Mark: "S-1004"},
	{Refs: ledger.Refs{Order: 4, Line: 2, Edition: 9, Outlet: 2}, Mark: "S-1004"},
}

// Worked by hand: 10.00 by two prints and one is 6.67 and 3.33, and 6.67 by two is 3.34 and 3.33.
func TestPostageIsShared(t *testing.T) {
	got := map[int64]int64{}
	events := posted.Postage(usd(10_00), day, prints)
	for _, l := range events[0].Lines {
		got[l.Line] += l.Amount.Minor
	}
	if want := map[int64]int64{1: 3_34, 2: 3_33, 7: 3_33, 0: -10_00}; !maps.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
	if events := posted.Postage(usd(0), day, prints); events != nil {
		t.Errorf("no postage came to %v", events)
	}
}

// Of a run at 5.00 a sheet, four rejected sheets came without a good one, and one of them was taken back; those that came with good ones are theirs.
func TestRejectsAlone(t *testing.T) {
	r := supply.Run{ID: 3, Edition: 9, UnitCost: usd(5_00), Receipts: []supply.Receipt{{Good: 7, Rejected: 3, Day: day}, {Rejected: 4, Day: day}, {Rejected: -1, Day: day}}}
	if got, want := sums(t, posted.Rejects(r)), (map[string]int64{ledger.Spoilt: 15_00, ledger.Labs: -15_00}); !maps.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
}

// Each cause of a move goes to its account.
func TestStock(t *testing.T) {
	use := []layers.Use{{Layer: 1, Pieces: 1, Cost: usd(9_00), Run: 3}}
	back := []layers.Use{use[0].Back()}
	for name, c := range map[string]struct {
		m    posted.Moved
		want map[string]int64
	}{
		"received":     {posted.Moved{Move: move(supply.Sheets, 7, supply.Received, 50_00), Layer: 1}, map[string]int64{ledger.Sheets: 50_00, ledger.Labs: -50_00}},
		"not received": {posted.Moved{Move: move(supply.Sheets, -1, supply.NotReceived, -9_00), Uses: use}, map[string]int64{ledger.Sheets: -9_00, ledger.Labs: 9_00}},
		"not received, and its layer was sold": {posted.Moved{Move: move(supply.Sheets, -1, supply.NotReceived, -8_00), Uses: use}, map[string]int64{
			ledger.Sheets: -9_00, ledger.Labs: 8_00, ledger.Counted: 1_00,
		}},
		"first count": {posted.Moved{Move: move(supply.Packaging, 7, supply.FirstCount, 50_00), Layer: 1}, map[string]int64{ledger.Supplies: 50_00, ledger.Opening: -50_00}},
		"restocked":   {posted.Moved{Move: move(supply.Packaging, 7, supply.Restocked, 50_00), Layer: 1}, map[string]int64{ledger.Supplies: 50_00, ledger.Labs: -50_00}},
		"counted":     {posted.Moved{Move: move(supply.Sheets, -1, supply.Counted, 0), Uses: use}, map[string]int64{ledger.Sheets: -9_00, ledger.Counted: 9_00}},
		"found":       {posted.Moved{Move: move(supply.Sheets, 1, supply.Counted, 9_00), Layer: 2}, map[string]int64{ledger.Sheets: 9_00, ledger.Counted: -9_00}},
		"sold":        {posted.Moved{Move: move(supply.Sheets, -1, supply.HandedOver, 0), Uses: use}, map[string]int64{ledger.Sheets: -9_00, ledger.CostOfPrints: 9_00}},
		"came back":   {posted.Moved{Move: move(supply.Sheets, 1, supply.CameBack, 0), Uses: back}, map[string]int64{ledger.Sheets: 9_00, ledger.CostOfPrints: -9_00}},
		"packed":      {posted.Moved{Move: move(supply.Packaging, -1, supply.HandedOver, 0), Uses: use}, map[string]int64{ledger.Supplies: -9_00, ledger.PackagingUsed: 9_00}},
		"spoilt":      {posted.Moved{Move: move(supply.Sheets, -1, supply.Spoiled, 0), Uses: use}, map[string]int64{ledger.Sheets: -9_00, ledger.Spoilt: 9_00}},
		"kept":        {posted.Moved{Move: move(supply.Sheets, -1, supply.Kept, 0), Uses: use}, map[string]int64{ledger.Sheets: -9_00, ledger.KeptPrints: 9_00}},
		"not kept":    {posted.Moved{Move: move(supply.Sheets, 1, supply.Unkept, 0), Uses: back}, map[string]int64{ledger.Sheets: 9_00, ledger.KeptPrints: -9_00}},
	} {
		e := posted.Stock([]posted.Moved{c.m}, prints[:1])
		if got := sums(t, []ledger.Event{e}); !maps.Equal(got, c.want) {
			t.Errorf("%s: got %v, want %v", name, got, c.want)
		}
		for _, l := range e.Lines {
			if l.Account == ledger.CostOfPrints && (l.Line != 7 || l.Order != 5 || l.Run != 3) {
				t.Errorf("%s: the cost is of %+v, want line 7 of order 5 and run 3", name, l.Refs)
			}
		}
	}
}

func move(kind supply.MoveKind, delta int, cause supply.Cause, cost int64) supply.Move {
	return supply.Move{Kind: kind, Of: 3, Delta: delta, Day: day, Why: supply.Why{Cause: cause, Line: 7, Cost: usd(cost)}}
}

// The words are those that earlier editions of the program kept with moves.
func TestPastReasons(t *testing.T) {
	for reason, want := range map[string]supply.Cause{
		"run 12 received": supply.Received, "run 12: receipt taken back": supply.NotReceived, "S-1042 handed over": supply.HandedOver,
		"S-1001, S-1002 and S-1003 handed over": supply.HandedOver, "hand-over 3 taken back": supply.NotHanded, "handing over in person taken back": supply.NotHanded,
		"S-1042 came back": supply.CameBack, "came back, brought in from sales.csv": supply.BroughtIn, "intake taken back: sales.csv": supply.BroughtOut,
		"counted: found behind the chest": supply.Counted, "counted: S-1 handed over": supply.Counted, "first count": supply.FirstCount, "first stock": supply.FirstCount,
		"restocked": supply.Restocked, "restock taken back": supply.NotRestock, "17/250 of Heron at dusk spoilt": supply.Spoiled, "signed for the archive": supply.Kept,
		"AP 2/5 not signed for the archive": supply.Unkept, "AP 2/5 kept in the archive": supply.Kept, "AP 2/5 taken back": supply.Unkept, "AP 2/5 withdrawn": supply.Withdrawn,
		"(erased)": "", "": "",
	} {
		why, marks := posted.Past(supply.Move{Reason: reason})
		if why.Cause != want {
			t.Errorf("%q: %q, want %q", reason, why.Cause, want)
		}
		if reason == "S-1001, S-1002 and S-1003 handed over" && !slices.Equal(marks, []string{"S-1001", "S-1002", "S-1003"}) {
			t.Errorf("%q names %q", reason, marks)
		}
		if why.Run != 0 != (want == supply.Received || want == supply.NotReceived) {
			t.Errorf("%q: run %d", reason, why.Run)
		}
	}
}
