package invoice

import (
	"testing"

	"pgregory.net/rapid"

	"solander/calendar"
	"solander/fault"
	"solander/money"
	"solander/order"
)

// agreed is what was agreed of the sales of these tests.
func agreed(total money.Amount, book int64, came map[int64]money.Amount) Agreed {
	return Agreed{Rate: Rate{Total: total, Book: usd(book), Day: calendar.Date(2031, 3, 4)}, Came: came}
}

// Worked by hand, with the digits of ISO 4217: 120.00 and 8.00 postage and 8.00 tax, 136.00, were agreed as 17 000 yen, of which 5 000 came, and as
// 40.800 dinars. The tax stays in the book's currency beside it: Council Directive 2006/112/EC, article 230, from memory.
func TestInvoiceInAnotherCurrency(t *testing.T) {
	for _, tt := range []struct {
		total, came, goods, postage, tax, net, owed money.Amount
	}{
		{money.Of(17_000, "JPY"), money.Of(5_000, "JPY"), money.Of(15_000, "JPY"), money.Of(1_000, "JPY"), money.Of(1_000, "JPY"), money.Of(16_000, "JPY"), money.Of(12_000, "JPY")},
		{money.Of(40_800, "KWD"), money.Of(40_799, "KWD"), money.Of(36_000, "KWD"), money.Of(2_400, "KWD"), money.Of(2_400, "KWD"), money.Of(38_400, "KWD"), money.Of(1, "KWD")},
	} {
		s, err := of(12000, 800, 800, 4000).In(agreed(tt.total, 136_00, map[int64]money.Amount{1: tt.came}))
		if err != nil {
			t.Fatal(err)
		}
		b, err := s.Invoice()
		if err != nil {
			t.Fatal(err)
		}
		x := b.Body
		if b.Total != tt.total || b.Net != tt.net || b.Tax != tt.tax || x.Lines[0].Amount != tt.goods || x.Lines[1].Amount != tt.postage || x.Owed != tt.owed || x.Paid[0].Amount != tt.came {
			t.Errorf("%s: %+v", tt.total, b)
		}
		if x.Taxes[0].Base != tt.net || *x.Taxes[0].Book != usd(800) || x.Rate.Book != usd(136_00) {
			t.Errorf("%s: the tax is %+v", tt.total, x.Taxes[0])
		}
	}
	if _, err := of(12000, 0, 0, 4000).In(agreed(money.Of(96_00, "EUR"), 120_00, nil)); !fault.Is(err, fault.Refused) {
		t.Errorf("a payment that did not come in euros: %v", err)
	}
}

// Whatever is sold, agreed and paid: an invoice comes to what was agreed, its lines and its tax to the same; receipts are together the payments as
// they came; their tax, and that of credit notes over all of the invoice, is together the tax of the sale, in both currencies.
func TestPapersInAnotherCurrencyAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		goods, postage, tax := rapid.Int64Range(1, 100000).Draw(t, "goods"), rapid.Int64Range(0, 5000).Draw(t, "postage"), rapid.Int64Range(0, 9000).Draw(t, "tax")
		cur := rapid.SampledFrom([]string{"EUR", "JPY", "KWD"}).Draw(t, "currency")
		total := money.Of(rapid.Int64Range(1, 20_000_000).Draw(t, "total"), cur)
		s := of(goods, postage, tax)
		if inside := rapid.Bool().Draw(t, "inside"); inside && tax == 0 {
			in := rapid.Int64Range(0, goods+postage).Draw(t, "tax inside")
			s.Taxes = []Tax{{Text: "Tax", Base: usd(goods + postage - in), Amount: usd(in), Inside: true}}
		}
		came := map[int64]money.Amount{}
		left := total.Minor
		for id := int64(1); left > 0; id++ {
			part := rapid.Int64Range(max(1, left/4), left).Draw(t, "paid")
			s.Order.Payments = append(s.Order.Payments, order.Payment{ID: id, Kind: order.Deposit, Amount: usd(1), Day: s.Order.Placed})
			came[id] = money.Of(part, cur)
			left -= part
		}
		in, err := s.In(agreed(total, goods+postage+tax, came))
		if err != nil {
			t.Fatal(err)
		}
		b, err := in.Invoice()
		if err != nil || b.Total != total || !b.Body.Owed.IsZero() {
			t.Fatalf("%s of %s, %s owed, %v", b.Total, total, b.Body.Owed, err)
		}
		var sum, taxes, book int64
		var given []int64
		for id := range int64(len(came)) {
			rest := in
			rest.Order.Payments = in.Order.Payments[:id+1]
			r, err := rest.Receipt(given)
			if err != nil {
				t.Fatal(err)
			}
			given, sum, taxes = append(given, id+1), sum+r.Total.Minor, taxes+r.Tax.Minor
			for _, x := range r.Body.Taxes {
				book += x.Book.Minor
			}
		}
		var want int64
		for _, x := range s.Taxes {
			want += x.Amount.Minor
		}
		if sum != total.Minor || taxes != b.Tax.Minor || book != want {
			t.Fatalf("receipts over %d of %d, tax %d of %d, %d of %d in the book", sum, total.Minor, taxes, b.Tax.Minor, book, want)
		}
		part := money.Of(rapid.Int64Range(1, total.Minor).Draw(t, "credit"), cur)
		first, err := Correct(b, money.Of(0, cur), part, "bent", Party{}, Terms{})
		if err != nil {
			t.Fatal(err)
		}
		noted := first
		if part != total {
			rest, err := Correct(b, part, money.Of(0, cur), "all of it", Party{}, Terms{})
			if err != nil {
				t.Fatal(err)
			}
			noted.Tax.Minor += rest.Tax.Minor
			noted.Body.Taxes = append(noted.Body.Taxes, rest.Body.Taxes...)
		}
		book = 0
		for _, x := range noted.Body.Taxes {
			book += x.Book.Minor
		}
		if noted.Tax != b.Tax || book != want {
			t.Fatalf("credit notes of all take %s of the tax %s, %d of %d in the book", noted.Tax, b.Tax, book, want)
		}
	})
}
