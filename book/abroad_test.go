package book_test

import (
	"bytes"
	"math/rand/v2"
	"strings"
	"testing"

	"solander/book"
	"solander/charging"
	"solander/currencies"
	"solander/dispatch"
	"solander/exchange"
	"solander/fault"
	"solander/house"
	"solander/internal/bed"
	"solander/internal/hledger"
	"solander/journal"
	"solander/ledger"
	"solander/money"
	"solander/order"
	"solander/studio"
)

// way is the kind of a payment, or of a refund.
func way(refund bool) order.PaymentKind {
	if refund {
		return order.Refund
	}
	return ""
}

func eur(minor int64) money.Amount { return money.Of(minor, "EUR") }

func agree(b *bed.Bed, id int64, total money.Amount) {
	b.Helper()
	_, err := currencies.Agree(b.Ctx, b.Studio, currencies.AgreeIn{Order: id, Currency: total.Currency, Total: &total})
	b.Must(err)
}

// account is what an account comes to in the journal.
func account(b *bed.Bed, key string) (n int64) {
	b.Helper()
	b.Must(b.Read(b.Ctx, func(t *studio.Turn) error {
		sums, err := t.Tx.Sums("", "")
		for _, s := range sums {
			if s.Account == key {
				n += s.Amount.Minor
			}
		}
		return err
	}))
	return n
}

// What is kept of a payment is a share of what came, not of what it settles: 3 % of the 58.00 that 80.00 EUR were worth is 1.74; of the 95.00 that they
// settle it would be 2.85.
func TestTheFeeIsOfWhatCame(t *testing.T) {
	b := bed.New(t)
	_, err := house.ChangeOutlet(b.Ctx, b.Studio, b.Own.ID, func(u *order.Outlet) error {
		u.Fees = charging.Table{{What: charging.Payment, Name: "card", Share: 300}}
		return nil
	})
	b.Must(err)
	v := b.Take(b.Sale())
	agree(b, v.ID, eur(80_00))
	worth := bed.USD(58_00)
	_, err = book.TakeAbroad(b.Ctx, b.Studio, book.PaymentIn{Order: v.ID, Amount: eur(80_00), Worth: &worth})
	b.Must(err)
	if n := account(b, ledger.PaymentFees); n != 1_74 {
		t.Errorf("%d is kept of it, want 174", n)
	}
	b.Sound()
}

// All worked by hand. 95.00 USD were agreed as 80.00 EUR.
// 30.00 EUR settle 30/80 of 95.00, 35.625, which is 35.63; they were worth 36.00: a gain of 0.37. 59.37 and 50.00 EUR are owed.
// 50.00 EUR are all of it and settle 59.37; they were worth 58.00: a loss of 1.37. Nothing is owed, in neither currency.
// 20.00 EUR paid back are 20/80 of the 95.00 that were settled, 23.75; they cost 25.00: a loss of 1.25.
// In all 2.25 are lost; when the refund is undone, 1.00.
func TestAnOrderOwedInAnotherCurrency(t *testing.T) {
	b := bed.New(t)
	v := b.Take(b.Sale())
	agree(b, v.ID, eur(80_00))
	for i, step := range []struct {
		came          int64
		refund        bool
		worth         int64
		settled, gain int64
		owed, still   int64
	}{
		{30_00, false, 36_00, 35_63, 37, 59_37, 50_00},
		{50_00, false, 58_00, 59_37, -1_37, 0, 0},
		{20_00, true, 25_00, 23_75, -1_25, 23_75, 20_00},
	} {
		worth := bed.USD(step.worth)
		got, err := book.TakeAbroad(b.Ctx, b.Studio, book.PaymentIn{Order: v.ID, Amount: eur(step.came), Worth: &worth, Kind: way(step.refund)})
		b.Must(err)
		if got.Settled != bed.USD(step.settled) || got.Gain != bed.USD(step.gain) || got.Left != bed.USD(step.owed) || got.Still != eur(step.still) {
			t.Errorf("%d: %+v", i, got)
		}
	}
	if n := account(b, ledger.Exchange); n != 2_25 {
		t.Errorf("the account of gains has %d, want a loss of 225", n)
	}
	if n := account(b, ledger.AtOutlets); n != 36_00+58_00-25_00 {
		t.Errorf("%d is at the outlet", n)
	}
	g, err := currencies.Realised(b.Ctx, b.Studio)
	b.Must(err)
	if len(g.Sums) != 1 || g.Sums[0].Gain != bed.USD(-2_25) || g.Sums[0].Came != eur(60_00) {
		t.Errorf("sums %+v", g.Sums)
	}
	b.Must(dispatch.Undo(b.Ctx, b.Studio, b.Latest(studio.MarkPaid).ID))
	if n := account(b, ledger.Exchange); n != 1_00 {
		t.Errorf("undone: the account of gains has %d, want a loss of 100", n)
	}
	b.Sound()
}

// Each way to mix two currencies is refused, in words that say how to mend it, and keeps nothing.
func TestCurrenciesAreNotMixed(t *testing.T) {
	b := bed.New(t)
	v := b.Take(b.Sale())
	take := func(id int64, a money.Amount, worth int64, refund bool) error {
		w := bed.USD(worth)
		_, err := book.TakeAbroad(b.Ctx, b.Studio, book.PaymentIn{Order: id, Amount: a, Worth: &w, Kind: way(refund)})
		return err
	}
	asked := func(id int64, currency string, total int64) error {
		a := money.Of(total, currency)
		_, err := currencies.Agree(b.Ctx, b.Studio, currencies.AgreeIn{Order: id, Currency: currency, Total: &a})
		return err
	}
	b.Refused(asked(v.ID, "USD", 1), fault.Invalid, "currency", "the currency of the book")
	b.Refused(asked(v.ID, "EUX", 1), fault.Invalid, "currency", "no currency")
	b.Refused(asked(v.ID, "EUR", 0), fault.Invalid, "total", "nothing")
	_, err := currencies.Agree(b.Ctx, b.Studio, currencies.AgreeIn{Order: v.ID, Currency: "EUR"})
	b.Refused(err, fault.Missing, "day", "no rate")
	b.Refused(currencies.Part(b.Ctx, b.Studio, v.ID, nil), fault.Missing, "", "no other currency")

	agree(b, v.ID, eur(80_00))
	b.Refused(book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: v.ID, Amount: bed.USD(95_00)}), fault.Refused, "amount", "agreed as 80.00 EUR")
	b.Refused(take(v.ID, money.Of(100, "JPY"), 1, false), fault.Refused, "amount", "agreed as 80.00 EUR")
	b.Refused(take(v.ID, eur(80_01), 1, false), fault.Refused, "amount", "80.00 EUR")
	b.Refused(take(v.ID, eur(1), 1, true), fault.Refused, "amount", "nothing is left")
	b.Must(take(v.ID, eur(79_99), 94_00, false))
	b.Refused(currencies.Part(b.Ctx, b.Studio, v.ID, nil), fault.Refused, "", "money came in EUR")
	b.Refused(asked(v.ID, "JPY", 900), fault.Refused, "", "did not come in JPY")
	b.Refused(asked(v.ID, "EUR", 79_99), fault.Refused, "total", "came already")
	b.Refused(book.Cancel(b.Ctx, b.Studio, book.CancelIn{Order: v.ID, Reason: "x", Refund: bed.USD(1)}), fault.Refused, "refund", "agreed as 80.00 EUR")
	if v := b.Order(v.ID); v.Owed.Minor <= 0 {
		t.Errorf("a part settled all: %s is owed", v.Owed)
	}

	other := b.Take(b.Sale())
	b.Must(book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: other.ID, Amount: bed.USD(10_00)}))
	b.Refused(asked(other.ID, "EUR", 80_00), fault.Refused, "", "did not come in EUR")
	b.Sound()
}

// Of orders agreed and paid at random, in parts, with refunds, undone and paid again: something is owed in the one currency when, and only
// when, something is owed in the other; the list of gains comes to what the account has; and what is paid whole is paid to the last cent.
// JPY has no digits after the point, KWD three (ISO 4217).
func TestGainsAreThoseOfTheAccount(t *testing.T) {
	b := bed.New(t)
	r := rand.New(rand.NewPCG(2031, 4900))
	for range 12 {
		in := b.Sale()
		in.Lines = []book.SaleLine{{Edition: b.Card.ID}, {Edition: b.Card.ID}}
		v := b.Take(in)
		currency := []string{"EUR", "JPY", "KWD"}[r.IntN(3)]
		agree(b, v.ID, money.Of(1+r.Int64N(50_000), currency))
		for range 8 {
			st, err := currencies.Of(b.Ctx, b.Studio, v.ID)
			b.Must(err)
			worth := bed.USD(r.Int64N(200_00))
			take := book.PaymentIn{Order: v.ID, Worth: &worth, Kind: way(r.IntN(4) == 0), Amount: money.Of(1+r.Int64N(max(1, st.Owed.Minor)), currency)}
			if _, err := book.TakeAbroad(b.Ctx, b.Studio, take); err != nil && !fault.Is(err, fault.Refused) {
				t.Fatal(err)
			}
			if r.IntN(4) == 0 {
				if st, err = currencies.Of(b.Ctx, b.Studio, v.ID); err == nil && len(st.Payments) > 0 {
					if err := dispatch.Undo(b.Ctx, b.Studio, b.Latest(studio.MarkPaid).ID); err != nil && !fault.Is(err, fault.Refused) {
						t.Fatal(err)
					}
				}
			}
			st, err = currencies.Of(b.Ctx, b.Studio, v.ID)
			b.Must(err)
			if st.Owed.Minor < 0 || st.Book.Minor < 0 || st.Owed.IsZero() != st.Book.IsZero() {
				t.Fatalf("%s is owed, and %s", st.Owed, st.Book)
			}
			var parts int64
			for _, p := range st.Parts {
				parts += p.Is.Minor
			}
			if parts != st.Agreed.Total.Minor {
				t.Fatalf("the parts are %d of %s", parts, st.Agreed.Total)
			}
		}
		if st, err := currencies.Of(b.Ctx, b.Studio, v.ID); err == nil && st.Owed.Sign() > 0 {
			worth := bed.USD(r.Int64N(200_00))
			got, err := book.TakeAbroad(b.Ctx, b.Studio, book.PaymentIn{Order: v.ID, Amount: st.Owed, Worth: &worth})
			b.Must(err)
			if !got.Left.IsZero() || !got.Still.IsZero() {
				t.Fatalf("%s and %s are left", got.Left, got.Still)
			}
		}
		if v := b.Order(v.ID); !v.Owed.IsZero() || v.Paid != v.Due {
			t.Fatalf("%s of %s was paid", v.Paid, v.Due)
		}
	}
	g, err := currencies.Realised(b.Ctx, b.Studio)
	b.Must(err)
	var one, sums int64
	for _, f := range g.Payments {
		one += f.Gain.Minor
	}
	for _, s := range g.Sums {
		sums += s.Gain.Minor
	}
	if n := -account(b, ledger.Exchange); n != one || n != sums || n == 0 {
		t.Errorf("the account has %d, the payments %d, the sums %d", n, one, sums)
	}
	b.Sound() // every entry balances, and the journal is what the book comes to

	// Another program adds up the same account: hledger of Debian, from the plain text of the journal.
	var text bytes.Buffer
	b.Must(journal.Write(b.Ctx, b.Studio, journal.Span{}, false, &text))
	balances, found := hledger.Balances(t, text.Bytes()), ""
	for name, is := range balances {
		if strings.HasPrefix(name, "Gains and losses by rates of exchange ") {
			found = is
		}
	}
	if want := bed.USD(-sums).Plain(); found != want {
		t.Errorf("the other program has %q at gains of exchange, want %s: %v", found, want, balances)
	}
}

// An order that was changed is agreed anew before more is paid; what came before counts.
func TestAChangedOrderIsAgreedAnew(t *testing.T) {
	b := bed.New(t)
	v := b.Take(b.Sale())
	agree(b, v.ID, eur(80_00))
	worth := bed.USD(50_00)
	pay := book.PaymentIn{Order: v.ID, Amount: eur(40_00), Worth: &worth}
	_, err := book.TakeAbroad(b.Ctx, b.Studio, pay)
	b.Must(err)
	postage := bed.USD(15_00)
	_, err = book.Amend(b.Ctx, b.Studio, book.AmendIn{Order: v.ID, Postage: &postage})
	b.Must(err)
	_, err = book.TakeAbroad(b.Ctx, b.Studio, pay)
	b.Refused(err, fault.Refused, "", "changed since")
	agree(b, v.ID, eur(90_00))
	pay.Amount = eur(50_00)
	got, err := book.TakeAbroad(b.Ctx, b.Studio, pay)
	b.Must(err)
	if !got.Left.IsZero() || !got.Still.IsZero() || got.Settled != bed.USD(57_50) { // 105.00 less the half of 95.00
		t.Errorf("%+v", got)
	}
}

// Source: worked by hand.
func TestShares(t *testing.T) {
	for _, tt := range []struct{ part, whole, worth, want int64 }{
		{30_00, 80_00, 95_00, 35_63}, {80_00, 80_00, 95_00, 95_00}, {1, 3, 1_00, 33}, {2, 3, 1_00, 67}, {9_999, 10_000, 10, 9}, {1, 2, 1_000, 500},
	} {
		if got, err := exchange.Share(eur(tt.part), eur(tt.whole), bed.USD(tt.worth)); err != nil || got != bed.USD(tt.want) {
			t.Errorf("%d of %d at %d: %s, %v", tt.part, tt.whole, tt.worth, got, err)
		}
	}
	for _, tt := range [][3]int64{{1, 0, 5}, {1, 5, 0}, {6, 5, 5}, {1, 10_000, 10}, {1, 2, 1}} {
		if _, err := exchange.Share(eur(tt[0]), eur(tt[1]), bed.USD(tt[2])); !fault.Is(err, fault.Refused) {
			t.Errorf("%v: %v", tt, err)
		}
	}
}
