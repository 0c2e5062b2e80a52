package earned_test

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"solander/book"
	"solander/calendar"
	"solander/charging"
	"solander/dispatch"
	"solander/earned"
	"solander/earnings"
	"solander/fault"
	"solander/house"
	"solander/internal/bed"
	"solander/internal/speedtest"
	"solander/journal"
	"solander/labelling"
	"solander/ledger"
	"solander/order"
	"solander/register"
	"solander/stockroom"
	"solander/studio"
	"solander/supply"
)

// left is what the accounts of income and costs come to, the other way round, by the trial balance.
func left(b *bed.Bed, days journal.Span) (n int64) {
	got, err := journal.Balance(b.Ctx, b.Studio, days)
	b.Must(err)
	for _, x := range got.Rows {
		if x.Class == ledger.Income || x.Class == ledger.Expense {
			n += x.Credit - x.Debit
		}
	}
	return n
}

// sold is a studio in which things were sold, sent off, came back and wait.
func sold(t *testing.T) *bed.Bed {
	b := bed.New(t)
	_, err := house.ChangeOutlet(b.Ctx, b.Studio, b.Own.ID, func(u *order.Outlet) error {
		u.Fees = charging.Table{{What: charging.Payment, Name: "card", Share: 300, Fixed: bed.USD(25)}}
		return nil
	})
	b.Must(err)
	run, err := stockroom.OrderRun(b.Ctx, b.Studio, supply.Run{Edition: b.Reeds.ID, Lab: "One Lab", Ordered: calendar.Date(2026, 3, 2), Expected: calendar.Date(2026, 3, 4), Quantity: 3, UnitCost: bed.USD(11_00)})
	b.Must(err)
	b.Must(stockroom.Receive(b.Ctx, b.Studio, supply.Receipt{Run: run.ID, Good: 2, Rejected: 1}))
	b.SentOff(b.Heron.ID)
	b.SentOff(b.Heron.ID, b.Card.ID)
	b.Clock.Set(2026, 4, 8)
	b.SentOff(b.Reeds.ID)
	in := b.Sale()
	in.Outlet, in.Paid = b.Market.ID, bed.USD(0)
	b.Take(in)
	b.Paid(b.Card.ID)
	return b
}

// By whatever it is grouped, and of whatever days: the rows come to the total, the total without what is estimated to what the accounts of the
// journal say, and the months to it as well.
func TestAnyGroupingIsTheJournal(t *testing.T) {
	b := sold(t)
	march, april := calendar.Date(2026, 3, 1), calendar.Date(2026, 4, 1)
	for _, days := range []journal.Span{{}, {From: march, To: april.Add(-1)}, {From: april}, {To: april.Add(4)}, {From: march.Add(3), To: april.Add(6)}} {
		want := left(b, days)
		for _, by := range earned.Bys() {
			got, err := earned.Get(b.Ctx, b.Studio, earned.Ask{From: days.From, To: days.To, By: by})
			b.Must(err)
			var sum earnings.Sum
			for _, r := range got.Rows {
				sum.Known += r.Left().Known
				sum.Estimated += r.Left().Estimated
			}
			if total := got.Total.Left(); total.Known != want || sum.Known != want || sum.Estimated != total.Estimated {
				t.Errorf("%v by %s: rows %+v, total %+v, the journal says %d", days, by, sum, total, want)
			}
			if waits := days.To.IsZero() || days.To.After(april.Add(6)); (got.Waiting > 0) != waits || (sum.Estimated != 0) != waits {
				t.Errorf("%v by %s: %d prints wait, %d is estimated", days, by, got.Waiting, sum.Estimated)
			}
		}
	}
	months, err := earned.ByMonth(b.Ctx, b.Studio, earned.Ask{By: earned.ByEdition})
	b.Must(err)
	var n int64
	for _, m := range months.Months {
		n += m.Left().Known
	}
	if want := left(b, journal.Span{}); n != want || len(months.Months) != 2 || months.Months[0].Key != "2026-03" {
		t.Errorf("%d in %d months, the journal says %d", n, len(months.Months), want)
	}
}

// What stocks are worth at the end is what the journal says of their accounts.
func TestStockIsTheJournal(t *testing.T) {
	b := sold(t)
	months, err := earned.ByMonth(b.Ctx, b.Studio, earned.Ask{By: earned.ByEdition})
	b.Must(err)
	last := months.Stock[len(months.Stock)-1]
	got, err := journal.Balance(b.Ctx, b.Studio, journal.Span{})
	b.Must(err)
	want := map[string]int64{}
	for _, x := range got.Rows {
		want[x.Key] = x.Debit - x.Credit
	}
	if last.Sheets != want[ledger.Sheets] || last.Supplies != want[ledger.Supplies] || last.Supplies == 0 {
		t.Errorf("%+v, the journal says %d and %d", last, want[ledger.Sheets], want[ledger.Supplies])
	}
}

// Every row opens to its parts, and its orders with what belongs to no order come to what is known of it; an order opens to pieces that come to
// it, each with where it is from.
func TestRowsOpen(t *testing.T) {
	b := sold(t)
	for _, by := range earned.Bys() {
		got, err := earned.Get(b.Ctx, b.Studio, earned.Ask{By: by})
		b.Must(err)
		for _, row := range got.Rows {
			in, err := earned.Open(b.Ctx, b.Studio, earned.Ask{By: by}, row.Key)
			b.Must(err)
			if diff := cmp.Diff(row, in.Row); diff != "" {
				t.Errorf("%s %s: %s", by, row.Name, diff)
			}
			var n int64
			for _, o := range in.Orders {
				n += o.Left().Known
			}
			for _, s := range in.Rest {
				n += s.Known
			}
			if n != row.Left().Known {
				t.Errorf("%s %s: its orders come to %d, it to %d", by, row.Name, n, row.Left().Known)
			}
		}
	}
	_, err := earned.Open(b.Ctx, b.Studio, earned.Ask{By: earned.ByOutlet}, "99")
	b.Refused(err, fault.Missing, "", "nothing was earned")
	_, err = earned.Get(b.Ctx, b.Studio, earned.Ask{By: "colour"})
	b.Refused(err, fault.Invalid, "by", "colour")
	_, err = earned.Get(b.Ctx, b.Studio, earned.Ask{By: earned.ByOutlet, From: calendar.Date(2026, 3, 2), To: calendar.Date(2026, 3, 1)})
	b.Refused(err, fault.Invalid, "to", "before the first")
}

// Computed by hand from the invented card and prices of the bed: heron at 90.00, its sheet 9.00, 3 % + 0.25 of the payment.
func TestAnOrderPartByPart(t *testing.T) {
	b := sold(t)
	v := b.Mark("S-1001")
	got, err := earned.OfOrder(b.Ctx, b.Studio, v.ID)
	b.Must(err)
	parts := map[earnings.Part]int64{}
	for _, p := range got.Pieces {
		if p.Estimated || p.Entry == 0 {
			t.Errorf("%+v is estimated, and the order is closed", p)
		}
		parts[p.Part] += p.Amount.Minor
	}
	price := v.Lines[0].Price.Minor
	fee := (price+v.Postage.Minor)*3/100 + 25
	if parts[earnings.Price] != price || parts[earnings.PaymentFee] != -fee || parts[earnings.Postage] != -v.Parcels[0].Paid.Minor || parts[earnings.Packaging] >= 0 {
		t.Errorf("%v of %+v", parts, got.Pieces)
	}
	var sum int64
	for _, n := range parts {
		sum += n
	}
	if sum != got.Left().Known || got.Left().Estimated != 0 {
		t.Errorf("pieces come to %d, it to %+v", sum, got.Left())
	}
	reeds, err := earned.OfOrder(b.Ctx, b.Studio, b.Mark("S-1003").ID)
	b.Must(err)
	for _, p := range reeds.Pieces { // three sheets at 11.00, one of them rejected: each good one bears 16.50
		if p.Part == earnings.Sheet && (p.Amount != bed.USD(-16_50) || p.Run == 0 || p.Print != "1/3 Reeds in wind") {
			t.Errorf("%+v", p)
		}
	}
	if reeds.Of(earnings.Sheet).Known != -16_50 {
		t.Errorf("%+v", reeds.Sums)
	}
	open := b.Paid(b.Heron.ID)
	waits, err := earned.OfOrder(b.Ctx, b.Studio, open.ID)
	b.Must(err)
	if known := waits.Left().Known; known != waits.Of(earnings.PaymentFee).Known || waits.Of(earnings.Price).Estimated != open.Lines[0].Price.Minor || waits.Of(earnings.Sheet).Estimated != -9_00 || waits.Of(earnings.Postage).Estimated >= 0 {
		t.Errorf("%+v", waits.Sums)
	}
	_, err = earned.OfOrder(b.Ctx, b.Studio, 999)
	b.Refused(err, fault.Missing, "", "")
}

// What the sheet of a print in the house is estimated to cost is what it costs when it leaves: of the earliest lot that has one, 16.50, though
// the lab asks another price by now. Who comes later has none of that lot, and the lab's price.
func TestASheetIsEstimatedAsItIsPosted(t *testing.T) {
	b := sold(t)
	lab := b.Reeds.PrintCost.Minor
	if lab == 16_50 {
		t.Fatal("the lab asks what the lot cost: nothing would be tested")
	}
	first, second := b.Ready(b.Reeds.ID), b.Paid(b.Reeds.ID)
	sheet := func(id int64) (known, estimated, run int64) {
		got, err := earned.OfOrder(b.Ctx, b.Studio, id)
		b.Must(err)
		for _, p := range got.Pieces {
			if p.Part == earnings.Sheet {
				run = p.Run
			}
		}
		return got.Of(earnings.Sheet).Known, got.Of(earnings.Sheet).Estimated, run
	}
	if known, estimated, run := sheet(first.ID); known != 0 || estimated != -16_50 || run == 0 {
		t.Errorf("of the first it is %d, estimated %d, of run %d", known, estimated, run)
	}
	if known, estimated, run := sheet(second.ID); known != 0 || estimated != -lab || run != 0 {
		t.Errorf("of the second it is %d, estimated %d, of run %d", known, estimated, run)
	}
	parcels, err := dispatch.Pack(b.Ctx, b.Studio, dispatch.PackIn{Order: first.ID})
	b.Must(err)
	for _, p := range parcels {
		b.Must(labelling.Label(b.Ctx, b.Studio, labelling.LabelIn{Parcel: p.ID, Paid: bed.USD(9_00)}))
	}
	_, err = dispatch.HandOver(b.Ctx, b.Studio, dispatch.HandOverIn{Parcels: []int64{parcels[0].ID}})
	b.Must(err)
	if known, estimated, run := sheet(first.ID); known != -16_50 || estimated != 0 || run == 0 {
		t.Errorf("when it left it is %d, estimated %d, of run %d", known, estimated, run)
	}
}

// A print sold for 1.00 whose postage was 5.00 is named, with what it was, and no order that left something is.
func TestBelowCostIsNamed(t *testing.T) {
	b := sold(t)
	in := b.Sale()
	in.Lines = []book.SaleLine{{Edition: b.Card.ID, Price: bed.Ptr(bed.USD(1_00))}}
	in.Paid, in.Postage = bed.USD(1_00), bed.USD(0)
	v := b.Take(in)
	b.Must(register.Sign(b.Ctx, b.Studio, bed.LineIDs(v)))
	parcels, err := dispatch.Pack(b.Ctx, b.Studio, dispatch.PackIn{Order: v.ID})
	b.Must(err)
	b.Must(labelling.Label(b.Ctx, b.Studio, labelling.LabelIn{Parcel: parcels[0].ID, Paid: bed.USD(5_00)}))
	_, err = dispatch.HandOver(b.Ctx, b.Studio, dispatch.HandOverIn{})
	b.Must(err)
	got, err := earned.Get(b.Ctx, b.Studio, earned.Ask{By: earned.ByEdition})
	b.Must(err)
	named := map[string]bool{}
	for _, x := range got.Below {
		named[x.Mark] = true
		one, err := earned.OfOrder(b.Ctx, b.Studio, x.Order)
		b.Must(err)
		if one.Left().Both() >= 0 || one.Left().Known != x.Left().Known || len(x.Prints) == 0 {
			t.Errorf("%s left %+v, by itself %+v", x.Mark, x.Left(), one.Left())
		}
	}
	if !named[v.Mark] || named["S-1001"] {
		t.Errorf("below cost are %v", named)
	}
	if first := got.Below[0]; first.Left().Both() > got.Below[len(got.Below)-1].Left().Both() {
		t.Errorf("the greatest loss is not first: %+v", got.Below)
	}
}

// Heron costs 90.00, from 2 sold 110.00, from 4 sold 150.00, of 5: what is left brings its steps to the cent.
func TestPricesOfAnEdition(t *testing.T) {
	b := sold(t)
	got, err := earned.PricesOf(b.Ctx, b.Studio, b.Heron.ID, earned.If{Steps: []earnings.Step{{FromSold: 0, Price: bed.USD(100_00)}}})
	b.Must(err)
	n := got.Earned.Sold
	want := int64(0)
	for k := n; k < n+got.Left; k++ {
		want += map[bool]int64{true: 110_00, false: 150_00}[k < 4]
	}
	if n < 2 || n+got.Left != 5 || got.Stands.Income.Minor != want || got.If.Income.Minor != 100_00*int64(got.Left) || got.Flat.Income.Minor != got.Now.Minor*int64(got.Left) {
		t.Errorf("%d sold, %d left: %+v, supposed %+v, at today's price %+v", n, got.Left, got.Stands, got.If, got.Flat)
	}
	if got.Earned.Flat.Minor != 90_00*int64(n) {
		t.Errorf("%+v", got.Earned)
	}
	_, err = earned.PricesOf(b.Ctx, b.Studio, b.Card.ID, earned.If{Steps: []earnings.Step{{Price: bed.USD(100_00)}}})
	b.Refused(err, fault.Refused, "steps", "never sold through")
	_, err = earned.PricesOf(b.Ctx, b.Studio, b.Heron.ID, earned.If{Steps: []earnings.Step{{FromSold: 0, Price: bed.USD(100_00)}, {FromSold: 9, Price: bed.USD(100_00)}}})
	b.Refused(err, fault.Invalid, "steps[1].from_sold", "no print is left")
	all, err := earned.Through(b.Ctx, b.Studio)
	b.Must(err)
	for _, x := range all {
		if last := x.Points[len(x.Points)-1]; last.Sold != x.Sold || x.Sold > x.Limit {
			t.Errorf("%+v", x)
		}
	}
	if len(all) != 2 {
		t.Errorf("%d editions with numbers were sold, want 2", len(all))
	}
}

// With a wage, the minutes of packing are told beside what is left, and not in it; a wage below nothing is refused.
func TestMinutesAtHerWage(t *testing.T) {
	b := sold(t)
	before, err := earned.OfOrder(b.Ctx, b.Studio, b.Mark("S-1001").ID)
	b.Must(err)
	if !before.Minutes.IsZero() || before.AfterMinutes().Minor != before.Left().Both() {
		t.Errorf("without a wage: %s", before.Minutes)
	}
	err = house.ChangeSettings(b.Ctx, b.Studio, func(set *studio.Settings) error {
		set.MinuteWage = -1
		return nil
	})
	b.Refused(err, fault.Invalid, "minute_wage", "negative")
	b.ChangeSettings(func(set *studio.Settings) { set.MinuteWage = 50 })
	v := b.SentOff(b.Heron.ID)
	got, err := earned.OfOrder(b.Ctx, b.Studio, v.ID)
	b.Must(err)
	if got.Minutes != v.Sending.Work || got.Minutes.Sign() <= 0 || got.AfterMinutes().Minor != got.Left().Both()-got.Minutes.Minor {
		t.Errorf("minutes %s, the order says %s; left %+v", got.Minutes, v.Sending.Work, got.Left())
	}
}

// BenchmarkYear asks for the figures of a year in which ten thousand orders of five thousand buyers in forty states left the house, eight lines of
// the journal each.
func BenchmarkYear(b *testing.B) {
	bd := bed.New(b)
	day := calendar.Date(2026, 1, 1)
	accounts := []struct {
		account string
		minor   int64
	}{{ledger.Sales, -120_00}, {ledger.PostageCharged, -8_00}, {ledger.CostOfPrints, 21_00}, {ledger.Sheets, -21_00}, {ledger.PostagePaid, 9_65}, {ledger.PackagingUsed, 1_85}, {ledger.OutletFees, 8_32}, {ledger.AtOutlets, 108_18}}
	like := bd.Paid(bd.Card.ID)
	bd.Must(bd.Studio.Write(bd.Ctx, func(t *studio.Turn) error {
		buyer := int64(0)
		for i := range 10_000 {
			if i%2 == 0 {
				id, err := t.Tx.SaveBuyer(order.Buyer{Name: fmt.Sprintf("Edda Quill %d", i)})
				if err != nil {
					return err
				}
				buyer = id
			}
			o := like.Order
			o.ID, o.Mark, o.Ref, o.Buyer, o.State, o.Closed, o.Lines, o.Payments = 0, fmt.Sprintf("Y-%d", i), "", buyer, order.Closed, day, nil, nil
			o.ShipTo.Region = string([]byte{'A' + byte(i%8), 'A' + byte(i%5)})
			o, err := t.Tx.AddOrder(o)
			if err != nil {
				return err
			}
			e := ledger.Entry{Day: day.Add(i % 365), Subject: ledger.Subject{Kind: "made", ID: int64(i + 1)}, Part: "sale", Text: "made"}
			for _, a := range accounts {
				e.Lines = append(e.Lines, ledger.Line{Account: a.account, Amount: bed.USD(a.minor), Refs: ledger.Refs{Order: o.ID, Line: int64(i + 1), Edition: bd.Heron.ID + int64(i%3), Outlet: bd.Own.ID + int64(i%2)}})
			}
			if err := t.Tx.Enter(e); err != nil {
				return err
			}
		}
		return nil
	}))
	for _, by := range earned.Bys() {
		b.Run(string(by), func(b *testing.B) {
			var took []time.Duration
			worked := speedtest.Processor(b)
			for b.Loop() {
				begun := time.Now()
				if _, err := earned.Get(bd.Ctx, bd.Studio, earned.Ask{From: day, To: day.Add(364), By: by}); err != nil {
					b.Fatal(err)
				}
				took = append(took, time.Since(begun))
			}
			slices.Sort(took)
			b.ReportMetric(float64(took[len(took)/2].Microseconds())/1000, "median-ms")
			b.ReportMetric(float64((speedtest.Processor(b)-worked).Microseconds())/1000/float64(len(took)), "processor-ms")
		})
	}
}
