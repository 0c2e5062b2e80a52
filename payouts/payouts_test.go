package payouts_test

import (
	"testing"

	"solander/book"
	"solander/charging"
	"solander/fault"
	"solander/house"
	"solander/internal/bed"
	"solander/journal"
	"solander/ledger"
	"solander/order"
	"solander/payouts"
	"solander/studio"
)

// at sells at the market, paid or not.
func at(b *bed.Bed, paid int64) studio.OrderView {
	in := b.Sale()
	in.Outlet, in.Paid = b.Market.ID, bed.USD(paid)
	in.Lines = []book.SaleLine{{Edition: b.Card.ID, Price: bed.Ptr(bed.USD(50_00))}}
	in.Postage = bed.USD(0)
	return b.Take(in)
}

// Two sales of 50.00 at a fee of 6.5 % + 0.20, which is 3.45, one of them not paid yet, and 1 % of payments: reckoned 50.00 - 3.45 - 0.50 = 46.05
// each. 91.00 came: 1.10 more was kept, 0.55 of each.
func TestAPayoutOfTwoSales(t *testing.T) {
	b := bed.New(t)
	_, err := house.ChangeOutlet(b.Ctx, b.Studio, b.Market.ID, func(u *order.Outlet) error {
		u.Fees = append(u.Fees, charging.Row{What: charging.Payment, Name: "card", Share: 100})
		return nil
	})
	b.Must(err)
	one, two, other := at(b, 50_00), at(b, 0), b.Paid(b.Card.ID)
	in := payouts.Payout{Outlet: b.Market.ID, Net: bed.USD(91_00), Orders: []int64{one.ID, two.ID}}
	bad := in
	bad.Net = bed.USD(100_01)
	_, err = payouts.Take(b.Ctx, b.Studio, bad)
	b.Refused(err, fault.Refused, "net", "more than the 100.00 USD")
	bad = in
	bad.Orders = []int64{one.ID, other.ID}
	_, err = payouts.Take(b.Ctx, b.Studio, bad)
	b.Refused(err, fault.Refused, "orders", "sold elsewhere")
	bad.Orders = []int64{one.ID, one.ID}
	_, err = payouts.Take(b.Ctx, b.Studio, bad)
	b.Refused(err, fault.Invalid, "orders", "named twice")
	if v := b.Order(two.ID); v.Owed.IsZero() || v.Fee != bed.USD(3_45) {
		t.Errorf("what was refused left %s owed and a fee of %s", v.Owed, v.Fee)
	}
	got, err := payouts.Take(b.Ctx, b.Studio, in)
	b.Must(err)
	for i, id := range in.Orders {
		v := b.Order(id)
		if p := got[i]; p.Net != bed.USD(45_50) || p.Fee != bed.USD(4_00) || p.Payment != bed.USD(50) || v.Fee != p.Fee || !v.Owed.IsZero() {
			t.Errorf("%+v; the order owes %s and has a fee of %s", p, v.Owed, v.Fee)
		}
	}
	balance, err := journal.Balance(b.Ctx, b.Studio, journal.Span{})
	b.Must(err)
	for _, x := range balance.Rows { // of the payout, payments less what was kept of them; fees are entered when the prints leave
		if x.Key == ledger.AtOutlets && x.Debit != 100_00-1_00+other.Paid.Minor {
			t.Errorf("at outlets lie %d", x.Debit)
		}
	}
	b.Sound()
}
