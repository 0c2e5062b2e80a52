package claims_test

import (
	"testing"

	"solander/book"
	"solander/calendar"
	"solander/claim"
	"solander/claims"
	"solander/currencies"
	"solander/dispatch"
	"solander/exchange"
	"solander/fault"
	"solander/internal/bed"
	"solander/labelling"
	"solander/ledger"
	"solander/money"
	"solander/order"
	"solander/register"
	"solander/studio"
)

func eur(minor int64) money.Amount { return money.Of(minor, "EUR") }

// left takes and pays sales that go in one parcel, hands it over, and returns the first of them.
func left(b *bed.Bed, sales ...book.Sale) (studio.OrderView, int64) {
	b.Helper()
	_, err := currencies.Enter(b.Ctx, b.Studio, exchange.Rate{Base: "EUR", Quote: "USD", Rate: "1.20", Day: calendar.Date(2026, 3, 4)})
	b.Must(err)
	b.Combine(len(sales) > 1)
	var first int64
	for _, in := range sales {
		v := b.Take(in)
		b.Must(register.Sign(b.Ctx, b.Studio, bed.LineIDs(v)))
		if first == 0 {
			first = v.ID
		}
	}
	parcels, err := dispatch.Pack(b.Ctx, b.Studio, dispatch.PackIn{Order: first})
	b.Must(err)
	if len(parcels) != 1 {
		b.Fatalf("%d parcels", len(parcels))
	}
	b.Must(labelling.Label(b.Ctx, b.Studio, labelling.LabelIn{Parcel: parcels[0].ID, Paid: bed.USD(9_25)}))
	_, err = dispatch.HandOver(b.Ctx, b.Studio, dispatch.HandOverIn{})
	b.Must(err)
	return b.Order(first), parcels[0].ID
}

// inEuros is a sale of a print for 90.00 and 6.00 of postage that was agreed as 80.00 EUR, and paid.
func inEuros(b *bed.Bed) book.Sale {
	in := b.Sale()
	in.Lines, in.Postage = []book.SaleLine{{Edition: b.Card.ID, Price: bed.Ptr(bed.USD(90_00))}}, bed.USD(6_00)
	in.Agreed, in.Paid = &currencies.AgreeIn{Currency: "EUR", Total: bed.Ptr(eur(80_00))}, eur(80_00)
	return in
}

// sentAbroad is a studio with one order that was agreed in another currency, and left the house in a parcel.
func sentAbroad(t *testing.T) (*bed.Bed, studio.OrderView, int64) {
	t.Helper()
	b := bed.New(t)
	v, parcel := left(b, inEuros(b))
	return b, v, parcel
}

// Worked by hand: 80.00 EUR came for 96.00 USD, and were worth that. 20.00 EUR paid back are a quarter of them, and give up 24.00; they cost the bank 25.00,
// a loss of 1.00. Of all 80.00 it takes 95.00 for the 96.00: a gain of 1.00. By the rate of the day nothing is lost.
func TestPaidBackInTheCurrencyAgreed(t *testing.T) {
	for name, tt := range map[string]struct {
		back, worth int64
		keeps       bool
		gave, lost  int64
	}{
		"kept":                  {20_00, 25_00, true, 24_00, 1_00},
		"kept, by the rate":     {20_00, 0, true, 24_00, 0},
		"given up":              {80_00, 95_00, false, 96_00, -1_00},
		"given up, by the rate": {80_00, 0, false, 96_00, 0},
	} {
		t.Run(name, func(t *testing.T) {
			b, v, parcel := sentAbroad(t)
			before := sums(b)
			c := open(b, parcel, claim.Damaged)
			view, err := claims.Claim(b.Ctx, b.Studio, c.ID)
			b.Must(err)
			if len(view.Bought) != 1 || view.Bought[0].Paid != eur(80_00) || view.Bought[0].Prints != eur(75_00) || view.Terms.Worth != bed.USD(90_00) {
				t.Errorf("sold for %+v, worth %s", view.Bought, view.Terms.Worth)
			}
			in := claims.RefundIn{Claim: c.ID, Amount: eur(tt.back), Keeps: tt.keeps, Reason: "creased"}
			took := tt.gave
			if tt.worth != 0 {
				in.Worth, took = bed.Ptr(bed.USD(tt.worth)), tt.worth
			}
			_, err = claims.Refund(b.Ctx, b.Studio, in)
			b.Must(err)
			got, o := sums(b), b.Order(v.ID)
			if lost := got[ledger.Exchange] - before[ledger.Exchange]; lost != tt.lost || got[ledger.AtOutlets] != before[ledger.AtOutlets]-took || o.Paid != bed.USD(96_00-tt.gave) {
				t.Errorf("lost %d, at the outlet %d, paid %s: %v", lost, got[ledger.AtOutlets], o.Paid, got)
			}
			b.Sound()
			if !tt.keeps {
				if o.State != order.Returned {
					t.Errorf("the order is %s", o.State)
				}
				return
			}
			_, err = claims.TakeBack(b.Ctx, b.Studio, c.ID) // with one deed all of it is as before
			b.Must(err)
			after, st := sums(b), standing(b, v.ID)
			for key := range after {
				if after[key] != before[key] {
					t.Errorf("taken back, %s has %d, had %d", key, after[key], before[key])
				}
			}
			if !st.Owed.IsZero() || len(st.Payments) != 1 {
				t.Errorf("taken back: %+v", st)
			}
			b.Sound()
		})
	}
}

func standing(b *bed.Bed, id int64) currencies.Standing {
	b.Helper()
	st, err := currencies.Of(b.Ctx, b.Studio, id)
	b.Must(err)
	return st
}

// What is paid back in another currency than the order is owed, above what came, or worth what cannot be, is refused at its field, and nothing is kept.
func TestWhatCannotBePaidBack(t *testing.T) {
	b, v, parcel := sentAbroad(t)
	c := open(b, parcel, claim.Lost)
	before := sums(b)
	for _, keeps := range []bool{true, false} {
		for _, tt := range []struct {
			in    claims.RefundIn
			code  fault.Code
			field string
			says  string
		}{
			{claims.RefundIn{Amount: bed.USD(10_00)}, fault.Refused, "amount", "agreed as 80.00 EUR"},
			{claims.RefundIn{Amount: eur(80_01)}, fault.Refused, "amount", "80.00 EUR"},
			{claims.RefundIn{Amount: eur(-1)}, fault.Invalid, "amount", "negative"},
			{claims.RefundIn{}, fault.Invalid, "amount", "nothing is paid back"},
			{claims.RefundIn{Amount: eur(1_00), Worth: bed.Ptr(eur(1_00))}, fault.Invalid, "worth", "EUR"},
			{claims.RefundIn{Amount: eur(1_00), Worth: bed.Ptr(bed.USD(-1))}, fault.Invalid, "worth", "negative"},
			{claims.RefundIn{Amount: eur(1_00), Of: []claims.Back{{Order: v.ID, Amount: eur(1)}}}, fault.Invalid, "amount", "for all orders and for single ones"},
			{claims.RefundIn{Of: []claims.Back{{Order: 99, Amount: eur(1)}}}, fault.Invalid, "amount", "no print of such an order"},
			{claims.RefundIn{Of: []claims.Back{{Order: v.ID, Amount: eur(1)}, {Order: v.ID, Amount: eur(1)}}}, fault.Invalid, "amount", "named twice"},
		} {
			tt.in.Claim, tt.in.Keeps, tt.in.Reason = c.ID, keeps, "lost"
			_, err := claims.Refund(b.Ctx, b.Studio, tt.in)
			b.Refused(err, tt.code, tt.field, tt.says)
		}
	}
	b.Clock.Set(2026, 3, 20) // the rate of 4 March is too old
	_, err := claims.Refund(b.Ctx, b.Studio, claims.RefundIn{Claim: c.ID, Amount: eur(1_00), Reason: "lost"})
	b.Refused(err, fault.Missing, "amount", "no rate")
	if got, o := sums(b), b.Order(v.ID); got[ledger.Exchange] != before[ledger.Exchange] || got[ledger.AtOutlets] != before[ledger.AtOutlets] || o.State != order.Closed || len(o.Payments) != 1 {
		t.Errorf("something was kept: %v", got)
	}
	b.Sound()
}

// A parcel may hold orders that are owed in several currencies: it is said of each how much is paid back. Orders that are owed in one share a sum by the
// prices of their prints, and what the bank took for it by what each gets. By hand: 60.00 EUR of two prints of 90.00 are 30.00 each, and give up
// 36.00 each; 73.00 are 36.50 each, 0.50 lost twice.
func TestSeveralOrdersArePaidBack(t *testing.T) {
	b := bed.New(t)
	plain := b.Sale()
	plain.Lines, plain.Paid, plain.Postage = []book.SaleLine{{Edition: b.Card.ID, Price: bed.Ptr(bed.USD(45_00))}}, bed.USD(45_00), bed.USD(0)
	first, parcel := left(b, inEuros(b), plain)
	c := open(b, parcel, claim.Lost)
	_, err := claims.Refund(b.Ctx, b.Studio, claims.RefundIn{Claim: c.ID, Amount: eur(10_00), Keeps: true, Reason: "creased"})
	b.Refused(err, fault.Refused, "amount", "S-1001 is owed in EUR, and S-1002 in USD")
	of := []claims.Back{{Order: first.ID, Amount: eur(20_00), Worth: bed.Ptr(bed.USD(25_00))}, {Order: first.ID + 1, Amount: bed.USD(10_00)}}
	_, err = claims.Refund(b.Ctx, b.Studio, claims.RefundIn{Claim: c.ID, Of: of, Keeps: true, Reason: "creased"})
	b.Must(err)
	if m := b.Latest(studio.MarkClaim); m.Text != "claim 1: 20.00 EUR and 10.00 USD paid back, the buyer keeps the print" {
		t.Errorf("it is told as %q", m.Text)
	}
	if st, o := standing(b, first.ID), b.Order(first.ID+1); !st.Owed.IsZero() || st.Given != eur(20_00) || o.Paid != bed.USD(35_00) || sums(b)[ledger.Exchange] != 1_00 {
		t.Errorf("%s is owed, %s given, %s paid: %v", st.Owed, st.Given, o.Paid, sums(b))
	}
	_, err = claims.TakeBack(b.Ctx, b.Studio, c.ID)
	b.Must(err)
	_, err = claims.Refund(b.Ctx, b.Studio, claims.RefundIn{Claim: c.ID, Of: of[:1], Reason: "lost"}) // nothing of the other
	b.Must(err)
	if a, z := b.Order(first.ID), b.Order(first.ID+1); a.State != order.Returned || z.State != order.Returned || z.Paid != bed.USD(45_00) {
		t.Errorf("%s and %s, %s paid", a.State, z.State, z.Paid)
	}
	b.Sound()

	b = bed.New(t)
	first, parcel = left(b, inEuros(b), inEuros(b))
	c = open(b, parcel, claim.Damaged)
	_, err = claims.Refund(b.Ctx, b.Studio, claims.RefundIn{Claim: c.ID, Amount: eur(60_00), Worth: bed.Ptr(bed.USD(73_00)), Keeps: true, Reason: "creased"})
	b.Must(err)
	for _, id := range []int64{first.ID, first.ID + 1} {
		if st, o := standing(b, id), b.Order(id); !st.Owed.IsZero() || st.Given != eur(30_00) || !o.Owed.IsZero() || o.Paid != bed.USD(60_00) || st.Payments[1].Gain != bed.USD(-50) {
			t.Errorf("%s is owed, %s paid, %+v", st.Owed, o.Paid, st.Payments)
		}
	}
	b.Sound()
}
