package payouts_test

import (
	"slices"
	"testing"

	"solander/book"
	"solander/calendar"
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
		if p := got.Parts[i]; p.Net != bed.USD(45_50) || p.Fee != bed.USD(4_00) || p.Payment != bed.USD(50) || v.Fee != p.Fee || !v.Owed.IsZero() {
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

	_, err = payouts.Take(b.Ctx, b.Studio, payouts.Payout{Outlet: b.Market.ID, Net: bed.USD(45_50), Orders: in.Orders[:1]})
	b.Refused(err, fault.Taken, "orders", "paid out on")
	v, err := payouts.One(b.Ctx, b.Studio, got.ID)
	b.Must(err)
	if v.More() != bed.USD(1_10) || v.Reckoned != bed.USD(92_10) || len(v.Parts) != 2 || v.Parts[0].Net != bed.USD(45_50) {
		t.Errorf("kept, it says %+v", v)
	}
}

// What is tried is what is done, and leaves nothing; what is taken back leaves the orders as they were.
func TestTriedAndTakenBack(t *testing.T) {
	b := bed.New(t)
	one, two := at(b, 50_00), at(b, 20_00)
	before := []studio.OrderView{b.Order(one.ID), b.Order(two.ID)}
	in := payouts.Payout{Outlet: b.Market.ID, Net: bed.USD(90_00), Orders: []int64{one.ID, two.ID}, Note: "of March"}
	tried, err := payouts.Foresee(b.Ctx, b.Studio, in)
	b.Must(err)
	stands := func(when string) {
		t.Helper()
		for _, was := range before {
			is := b.Order(was.ID)
			if is.Fee != was.Fee || is.Owed != was.Owed {
				t.Errorf("%s %s has a fee of %s and owes %s, it had %s and owed %s", when, is.Mark, is.Fee, is.Owed, was.Fee, was.Owed)
			}
		}
	}
	stands("after a trial")
	if all, err := payouts.List(b.Ctx, b.Studio, 0, 9); err != nil || len(all) != 0 {
		t.Errorf("a trial left %v, %v", all, err)
	}
	got, err := payouts.Take(b.Ctx, b.Studio, in)
	b.Must(err)
	if tried.Parts[1] != got.Parts[1] || tried.More() != got.More() || got.Parts[1].Noted == 0 {
		t.Errorf("tried %+v, done %+v", tried, got)
	}
	_, err = book.Amend(b.Ctx, b.Studio, book.AmendIn{Order: one.ID, Fee: bed.Ptr(bed.USD(1))})
	b.Must(err)
	_, err = payouts.TakeBack(b.Ctx, b.Studio, got.ID)
	b.Refused(err, fault.Refused, "", "corrected since")
	if v := b.Order(two.ID); !v.Owed.IsZero() {
		t.Error("what was refused took a payment back")
	}
	_, err = book.Amend(b.Ctx, b.Studio, book.AmendIn{Order: one.ID, Fee: &got.Parts[0].Fee})
	b.Must(err)
	_, err = payouts.TakeBack(b.Ctx, b.Studio, got.ID)
	b.Must(err)
	stands("after it was taken back")
	_, err = payouts.TakeBack(b.Ctx, b.Studio, got.ID)
	b.Refused(err, fault.Refused, "", "taken back already")
	b.Sound()
	_, err = payouts.Take(b.Ctx, b.Studio, in) // it may be entered again
	b.Must(err)
	b.Sound()
}

// Of five sales, each 50.00 less 3.45, two of which were paid out, three are left; the last two come to 93.10.
func TestWhichSalesASumIsOf(t *testing.T) {
	b := bed.New(t)
	var ids []int64
	for range 5 {
		ids = append(ids, at(b, 0).ID)
	}
	b.Paid(b.Card.ID) // elsewhere
	_, err := payouts.Take(b.Ctx, b.Studio, payouts.Payout{Outlet: b.Market.ID, Net: bed.USD(93_10), Orders: ids[:2]})
	b.Must(err)
	got, err := payouts.Propose(b.Ctx, b.Studio, b.Market.ID, bed.USD(93_00), calendar.Day{})
	b.Must(err)
	var all, proposed []int64
	for _, c := range got {
		if all = append(all, c.Order); c.Proposed {
			proposed = append(proposed, c.Order)
		}
		if c.Left != bed.USD(46_55) || c.Gross != bed.USD(50_00) {
			t.Errorf("of %s %s is left", c.Gross, c.Left)
		}
	}
	later, err := payouts.Propose(b.Ctx, b.Studio, b.Market.ID, bed.USD(93_00), calendar.Date(2026, 6, 5))
	b.Must(err) // 93 days after they were sold
	if len(later) != 3 || slices.ContainsFunc(later, func(c payouts.Candidate) bool { return c.Proposed }) {
		t.Errorf("three months later it proposes of %v", later)
	}
	if !slices.Equal(all, ids[2:]) || !slices.Equal(proposed, ids[3:]) {
		t.Errorf("of %v there are %v, and %v proposed", ids, all, proposed)
	}
}
