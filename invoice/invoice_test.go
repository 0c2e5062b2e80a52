package invoice

import (
	"testing"

	"pgregory.net/rapid"

	"solander/calendar"
	"solander/fault"
	"solander/money"
	"solander/order"
)

func usd(minor int64) money.Amount { return money.Of(minor, "USD") }

// Source: Council Directive 2006/112/EC, article 226 (2), from memory: a sequential number that identifies the invoice.
func TestNext(t *testing.T) {
	for _, tc := range []struct {
		last, typed, want int64
		fault             fault.Code
	}{
		{0, 0, 1, ""},
		{0, 57, 57, ""}, // she goes on from her own book
		{57, 0, 58, ""},
		{57, 58, 58, ""},
		{57, 57, 0, fault.Taken},
		{57, 3, 0, fault.Taken},
		{57, 59, 0, fault.Refused},
		{0, -1, 0, fault.Invalid},
		{0, MostNumber + 1, 0, fault.Invalid},
		{MostNumber, 0, 0, fault.Refused},
	} {
		n, err := Next(Invoice, tc.last, tc.typed)
		if n != tc.want || tc.fault != "" && !fault.Is(err, tc.fault) || tc.fault == "" && err != nil {
			t.Errorf("after %d, typed %d: %d %v", tc.last, tc.typed, n, err)
		}
	}
}

func TestNames(t *testing.T) {
	for _, k := range Kinds() {
		if kind, n, err := Named(" " + k.Label(12)); kind != k || n != 12 || err != nil {
			t.Errorf("%s: %s %d %v", k.Label(12), kind, n, err)
		}
	}
	if k, n, err := Named("i-7"); k != Invoice || n != 7 || err != nil {
		t.Errorf("i-7: %s %d %v", k, n, err)
	}
	for _, text := range []string{"", "I", "I-", "I-0", "I--1", "X-1", "I-1.5", "12", "I-9999999999"} {
		if _, _, err := Named(text); !fault.Is(err, fault.Invalid) {
			t.Errorf("%q names a paper: %v", text, err)
		}
	}
}

func of(goods, postage, tax int64, paid ...int64) Sale {
	o := order.Order{ID: 1, Mark: "S-1001", State: order.Open, Placed: calendar.Date(2031, 3, 4), Postage: usd(postage), Tax: usd(tax), Lines: []order.Line{{Price: usd(goods)}}}
	for i, p := range paid {
		o.Payments = append(o.Payments, order.Payment{ID: int64(i + 1), Kind: order.Deposit, Amount: usd(p), Day: o.Placed})
	}
	s := Sale{Order: o, Lines: []Line{{Text: "17/250 Heron", Amount: usd(goods)}}}
	if tax > 0 {
		s.Taxes = []Tax{{Text: "Tax", Base: usd(goods + postage), Amount: usd(tax)}}
	}
	return s
}

// Worked by hand: 120.00 and 8.00 postage, 6.25 % tax is 8.00, 40.00 paid.
func TestInvoice(t *testing.T) {
	b, err := of(12000, 800, 800, 4000).Invoice()
	if err != nil {
		t.Fatal(err)
	}
	if b.Net.Minor != 12800 || b.Tax.Minor != 800 || b.Total.Minor != 13600 || b.Body.Owed.Minor != 9600 || len(b.Body.Lines) != 2 || len(b.Body.Paid) != 1 {
		t.Errorf("%+v", b)
	}
	inside := of(12000, 0, 0)
	inside.Taxes = []Tax{{Text: "Tax", Base: usd(10084), Amount: usd(1916), Inside: true}} // 19 % in 120.00
	if b, err = inside.Invoice(); err != nil || b.Net.Minor != 10084 || b.Total.Minor != 12000 {
		t.Errorf("%+v %v", b, err)
	}
	given := of(12000, 0, 0, 12000) // it went, and 20.00 were paid back for good
	given.Order.State, given.Order.Payments = order.Closed, append(given.Order.Payments, order.Payment{ID: 9, Kind: order.Refund, Amount: usd(2000)})
	if b, err = given.Invoice(); err != nil || !b.Body.Owed.IsZero() || b.Body.Paid[1].Text != "paid back for good, not owed again" || b.Body.Paid[1].Amount != usd(-2000) {
		t.Errorf("%+v %v", b, err)
	}
	nothing := of(12000, 0, 0)
	nothing.Order.State = order.Cancelled
	if _, err := nothing.Invoice(); !fault.Is(err, fault.Refused) {
		t.Errorf("an invoice over nothing: %v", err)
	}
}

func TestReceipt(t *testing.T) {
	s := of(12000, 800, 800, 4000, 9600)
	first, err := s.Receipt([]int64{2}) // 8.00 × 96/136 is 5.65, which the other payment bears; the rest is 2.35
	if err != nil || first.Total.Minor != 4000 || first.Tax.Minor != 235 || first.Net.Minor != 3765 {
		t.Errorf("%+v %v", first, err)
	}
	if _, err := s.Receipt([]int64{1, 2}); !fault.Is(err, fault.Refused) {
		t.Errorf("a payment has two receipts: %v", err)
	}
	if _, err := of(12000, 0, 0).Receipt(nil); !fault.Is(err, fault.Refused) {
		t.Errorf("a receipt over nothing: %v", err)
	}
}

// Whatever is paid bit by bit: the receipts are together the payments, and once all is paid their tax is the tax of the sale.
func TestReceiptsAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		goods, postage, tax := rapid.Int64Range(1, 100000).Draw(t, "goods"), rapid.Int64Range(0, 5000).Draw(t, "postage"), rapid.Int64Range(0, 9000).Draw(t, "tax")
		left := goods + postage + tax
		var paid, given []int64
		for left > 0 {
			p := rapid.Int64Range(1, left).Draw(t, "paid")
			if len(paid) == 5 {
				p = left
			}
			paid, left = append(paid, p), left-p
		}
		s := of(goods, postage, tax, paid...)
		all := s.Order.Payments
		var total, taxed int64
		for i := range all {
			s.Order.Payments = all[:i+1]
			b, err := s.Receipt(given)
			if err != nil {
				t.Fatal(err)
			}
			if b.Net.Minor+b.Tax.Minor != b.Total.Minor || b.Net.Minor < 0 || b.Tax.Minor < 0 {
				t.Fatalf("%+v", b)
			}
			total, taxed, given = total+b.Total.Minor, taxed+b.Tax.Minor, append(given, all[i].ID)
		}
		if total != goods+postage+tax || taxed != tax {
			t.Fatalf("receipts over %d with tax %d, of %d with %d", total, taxed, goods+postage+tax, tax)
		}
	})
}

// Whatever is taken off bit by bit: the credit notes are together the invoice, and no more can be taken off.
func TestCreditNotesAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b, err := of(rapid.Int64Range(1, 100000).Draw(t, "goods"), 0, rapid.Int64Range(0, 9000).Draw(t, "tax")).Invoice()
		if err != nil {
			t.Fatal(err)
		}
		b.ID, b.Number = 5, 12
		before, taxed := usd(0), int64(0)
		for range 4 {
			left := b.Total.Minor - before.Minor
			if left == 0 {
				break
			}
			amount := usd(rapid.Int64Range(0, left).Draw(t, "amount")) // nothing is all that is left
			c, err := Correct(b, before, amount, "a print came back", Party{}, Terms{})
			if err != nil {
				t.Fatal(err)
			}
			before.Minor, taxed = before.Minor+c.Total.Minor, taxed+c.Tax.Minor
			if c.Net.Minor+c.Tax.Minor != c.Total.Minor || c.Corrects != 5 || c.Body.Corrects != "I-12" {
				t.Fatalf("%+v", c)
			}
		}
		if rest := b.Total.Minor - before.Minor; rest > 0 {
			c, err := Correct(b, before, usd(0), "all of it", Party{}, Terms{})
			if err != nil || c.Total.Minor != rest {
				t.Fatalf("%+v %v", c, err)
			}
			before.Minor, taxed = before.Minor+c.Total.Minor, taxed+c.Tax.Minor
		}
		if before != b.Total || taxed != b.Tax.Minor {
			t.Fatalf("taken off %s with tax %d, of %s with %s", before, taxed, b.Total, b.Tax)
		}
		if _, err := Correct(b, before, usd(1), "more", Party{}, Terms{}); !fault.Is(err, fault.Refused) {
			t.Fatalf("more was taken off than it was: %v", err)
		}
	})
}

func TestCreditNotesAreRefused(t *testing.T) {
	b, err := of(10000, 0, 0).Invoice()
	if err != nil {
		t.Fatal(err)
	}
	for name, amount := range map[string]money.Amount{"more than it": usd(10001), "less than nothing": usd(-1), "other money": money.Of(1, "EUR")} {
		if _, err := Correct(b, usd(0), amount, "x", Party{}, Terms{}); err == nil {
			t.Errorf("%s was taken off", name)
		}
	}
	b.Kind = Credit
	if _, err := Correct(b, usd(0), usd(1), "x", Party{}, Terms{}); !fault.Is(err, fault.Refused) {
		t.Errorf("a credit note was corrected: %v", err)
	}
}

// By hand: the notes of the last invoice count, those of one that it took the place of and of a receipt do not. In euros at 1.20 USD each takes off
// so much that what is left is the invoice's share, whatever is lost to cents.
func TestWhatCreditNotesTookOff(t *testing.T) {
	eur := func(minor int64) money.Amount { return money.Of(minor, "EUR") }
	papers := []Bill{
		{ID: 1, Kind: Invoice, Number: 1, Total: usd(120_00)},
		{ID: 2, Kind: Credit, Number: 1, Corrects: 1, Total: usd(120_00)},
		{ID: 3, Kind: Receipt, Number: 1, Total: usd(120_00)},
		{ID: 4, Kind: Credit, Number: 2, Corrects: 3, Total: usd(50_00)},
		{ID: 5, Kind: Invoice, Number: 2, Total: usd(120_00)},
		{ID: 6, Kind: Credit, Number: 3, Corrects: 5, Total: usd(7_00)},
		{ID: 7, Kind: Credit, Number: 4, Corrects: 5, Total: usd(8_00)},
	}
	for upTo, want := range map[int]struct {
		notes int
		left  int64
	}{1: {0, 0}, 2: {1, 0}, 4: {1, 0}, 5: {0, 0}, 6: {1, 113_00}, 7: {2, 105_00}} {
		c, err := CreditOf(papers[:upTo])
		if err != nil || len(c.Notes) != want.notes || c.Left.Minor != want.left || c.As != nil {
			t.Errorf("of %d papers %+v, %v", upTo, c, err)
		}
	}
	papers[4].Total, papers[5].Total, papers[6].Total = eur(100_01), eur(33_33), eur(33_34)
	papers[4].Body.Rate = &Rate{Total: eur(100_01), Book: usd(120_00)}
	c, err := CreditOf(papers)
	if err != nil || c.As == nil || c.As.Left != eur(33_34) || c.Left != usd(40_00) || c.Notes[0].Amount != usd(39_99) || c.Notes[1].Amount != usd(40_01) || c.Notes[1].Label != "C-4" {
		t.Errorf("%+v %v", c, err)
	}
}
