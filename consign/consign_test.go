package consign_test

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"solander/calendar"
	"solander/consign"
	"solander/edition"
	"solander/fault"
	"solander/money"
)

func usd(minor int64) money.Amount { return money.Of(minor, "USD") }

var went = calendar.Date(2025, 3, 1)

func out(id int64, price money.Amount, share int64) consign.Print {
	return consign.Print{ID: id, Gallery: 1, Edition: 1, Number: edition.Number{Kind: edition.Numbered, N: int(id)}, Price: price, Share: share, Bears: consign.Gallery, Went: went, State: consign.Out}
}

// Source: a textbook example of consignment (its inputs as read, the sums worked out by hand): 20 units cost 60 000, price 100 000,
// commission 10 %; freight 10 000 of the consignor, 16 000 of the consignee; 15 sold. Remittance 1 334 000, cost of the sold 919 500, on
// consignment 306 500, profit 430 500.
func TestTheConsignmentExample(t *testing.T) {
	var b consign.Batch
	for i := range int64(20) {
		p := out(i+1, usd(100_000_00), 100)
		if i < 15 {
			var err error
			if p, err = p.SoldFor(p.Price, went.Add(10)); err != nil {
				t.Fatal(err)
			}
		}
		b.Prints = append(b.Prints, p)
	}
	b.Cost = func(consign.Print) money.Amount { return usd(60_000_00) }
	b.Costs = []consign.Money{{Kind: consign.Freight, Amount: usd(10_000_00)}, {Kind: consign.Costs, Amount: usd(16_000_00)}, {Kind: consign.Paid, Amount: usd(5)}}
	got, err := b.Result("USD")
	want := consign.Result{
		Sales: usd(1_500_000_00), Kept: usd(150_000_00), Costs: usd(16_000_00), Remittance: usd(1_334_000_00), CostOfSold: usd(919_500_00),
		StockThere: usd(306_500_00), Earned: usd(430_500_00),
	}
	if err != nil || got != want {
		t.Errorf("%+v, want %+v, %v", got, want, err)
	}
	b.Costs[2].Reversed = true
	owed, err := consign.Owed(b.Prints, b.Costs, "USD")
	if err != nil || owed != got.Remittance {
		t.Errorf("owed %s, %v", owed, err)
	}
}

// Source: worked by hand; half a cent goes away from nothing.
func TestSplits(t *testing.T) {
	for _, tt := range []struct{ price, share, hers, kept int64 }{
		{100_00, 400, 60_00, 40_00}, {99_99, 500, 49_99, 50_00}, {1, 500, 0, 1}, {100_00, 0, 100_00, 0}, {100_00, 1000, 0, 100_00}, {125_00, 335, 83_12, 41_88},
	} {
		hers, kept, err := consign.Split(usd(tt.price), tt.share)
		if err != nil || hers != usd(tt.hers) || kept != usd(tt.kept) {
			t.Errorf("%d by %d: %s and %s, %v", tt.price, tt.share, hers, kept, err)
		}
	}
}

func TestWhatBecomesOfAPrint(t *testing.T) {
	p := out(1, usd(120_00), 400)
	sold, err := p.SoldFor(usd(110_00), went.Add(3))
	if err != nil || sold.State != consign.Sold || sold.Hers() != usd(66_00) || sold.Kept != usd(44_00) {
		t.Errorf("%+v, %v", sold, err)
	}
	lost, err := p.WasLost(went.Add(3), "water")
	if err != nil || lost.Hers() != usd(72_00) {
		t.Errorf("lost, and the gallery bears it: %s, %v", lost.Hers(), err)
	}
	p.Bears = consign.Artist
	if lost, err = p.WasLost(went.Add(3), "water"); err != nil || !lost.Hers().IsZero() || lost.State != consign.Lost {
		t.Errorf("lost, and the artist bears it: %s, %v", lost.Hers(), err)
	}
	if back, err := p.CameBack(went); err != nil || !back.Hers().IsZero() {
		t.Errorf("back: %+v, %v", back, err)
	}
	for name, tt := range map[string]struct {
		err  error
		code fault.Code
	}{
		"sold twice":            {second(sold.SoldFor(usd(1), went)), fault.Refused},
		"back after the sale":   {second(sold.CameBack(went)), fault.Refused},
		"before it went":        {second(p.SoldFor(usd(1), went.Add(-1))), fault.Invalid},
		"for nothing":           {second(p.SoldFor(usd(0), went)), fault.Invalid},
		"in another currency":   {second(p.SoldFor(money.Of(1, "EUR"), went)), fault.Invalid},
		"lost without a reason": {second(p.WasLost(went, " ")), fault.Invalid},
		"a share above all":     {consign.House{Name: "A", Share: 1001, Bears: consign.Artist}.Validate(), fault.Invalid},
		"nobody bears":          {consign.House{Name: "A"}.Validate(), fault.Invalid},
		"negative days":         {consign.House{Name: "A", Bears: consign.Artist, PayDays: -1}.Validate(), fault.Invalid},
	} {
		if !fault.Is(tt.err, tt.code) {
			t.Errorf("%s: %v", name, tt.err)
		}
	}
}

func second(_ consign.Print, err error) error { return err }

// A statement opens with what was owed, and its entries lead to what is; money goes to the oldest print.
func TestStatement(t *testing.T) {
	a, _ := out(1, usd(100_00), 400).SoldFor(usd(100_00), went.Add(1))
	b, _ := out(2, usd(200_00), 400).SoldFor(usd(200_00), went.Add(40))
	c := out(3, usd(300_00), 400)
	void := out(4, usd(1), 0)
	void.State = consign.Void
	moneys := []consign.Money{
		{ID: 1, Kind: consign.Paid, Amount: usd(50_00), Day: went.Add(35)},
		{ID: 2, Kind: consign.Costs, Amount: usd(5_00), Day: went.Add(41)},
		{ID: 3, Kind: consign.Paid, Amount: usd(9_00), Day: went.Add(35), Reversed: true},
		{ID: 4, Kind: consign.Freight, Amount: usd(9_00), Day: went},
	}
	prints := []consign.Print{c, b, a, void}
	s, err := consign.StatementOf(prints, moneys, "USD", went.Add(36), went.Add(60))
	if err != nil || s.Opening != usd(10_00) || s.Closing != usd(125_00) || len(s.Entries) != 2 || s.Sales != usd(200_00) || s.Kept != usd(80_00) || s.Costs != usd(5_00) || len(s.There) != 1 {
		t.Errorf("%+v, %v", s, err)
	}
	early, err := consign.StatementOf(prints, moneys, "USD", calendar.Day{}, went)
	if err != nil || len(early.There) != 3 || !early.Closing.IsZero() {
		t.Errorf("%+v, %v", early, err)
	}
	debts := consign.Debts(prints, moneys, 30, went.Add(40))
	if len(debts) != 2 || debts[0].Owed != usd(5_00) || debts[0].Late != 9 || debts[1].Owed != usd(120_00) || debts[1].Late != 0 {
		t.Errorf("%+v", debts)
	}
}

// Law: whatever was sold, lost and paid, a statement from the beginning closes with what is owed, debts add up to it, and a statement
// that is cut in two says the same.
func TestStatementsAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var prints []consign.Print
		var moneys []consign.Money
		for i := range rapid.IntRange(0, 9).Draw(t, "prints") {
			p := out(int64(i+1), usd(rapid.Int64Range(1, 30_000).Draw(t, "price")), rapid.Int64Range(0, 1000).Draw(t, "share"))
			p.Bears = rapid.SampledFrom([]consign.Bearer{consign.Gallery, consign.Artist}).Draw(t, "bears")
			on := went.Add(rapid.IntRange(0, 50).Draw(t, "on"))
			var err error
			switch rapid.IntRange(0, 3).Draw(t, "what") {
			case 1:
				p, err = p.SoldFor(usd(rapid.Int64Range(1, 30_000).Draw(t, "sold")), on)
			case 2:
				p, err = p.CameBack(on)
			case 3:
				p, err = p.WasLost(on, "why")
			}
			if err != nil {
				t.Fatal(err)
			}
			prints = append(prints, p)
		}
		for range rapid.IntRange(0, 4).Draw(t, "moneys") {
			moneys = append(moneys, consign.Money{
				Kind: rapid.SampledFrom(consign.Kinds()).Draw(t, "kind"), Amount: usd(rapid.Int64Range(1, 20_000).Draw(t, "amount")),
				Day: went.Add(rapid.IntRange(0, 50).Draw(t, "day")), Reversed: rapid.Bool().Draw(t, "reversed"),
			})
		}
		end, middle := went.Add(100), went.Add(rapid.IntRange(0, 60).Draw(t, "middle"))
		owed, err := consign.Owed(prints, moneys, "USD")
		whole, err2 := consign.StatementOf(prints, moneys, "USD", calendar.Day{}, end)
		first, err3 := consign.StatementOf(prints, moneys, "USD", calendar.Day{}, middle)
		rest, err4 := consign.StatementOf(prints, moneys, "USD", middle.Add(1), end)
		for _, e := range []error{err, err2, err3, err4} {
			if e != nil {
				t.Fatal(e)
			}
		}
		if whole.Closing != owed || first.Closing != rest.Opening || rest.Closing != owed || len(first.Entries)+len(rest.Entries) != len(whole.Entries) {
			t.Fatalf("%s; %+v; %+v; %+v", owed, whole, first, rest)
		}
		sum := int64(0)
		for _, d := range consign.Debts(prints, moneys, 30, end) {
			sum += d.Owed.Minor
		}
		if sum != max(0, owed.Minor) {
			t.Fatalf("debts come to %d, owed is %s", sum, owed)
		}
	})
}

func TestCautionsSayThatTheyAreNoAdvice(t *testing.T) {
	if all := strings.Join(consign.Cautions(), " "); !strings.Contains(all, "not legal advice") || !strings.Contains(all, "30 days") {
		t.Error(all)
	}
}
