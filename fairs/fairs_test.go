package fairs_test

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"solander/book"
	"solander/calendar"
	"solander/dispatch"
	"solander/fair"
	"solander/fairs"
	"solander/fault"
	"solander/internal/bed"
	"solander/journal"
	"solander/ledger"
	"solander/order"
	"solander/studio"
)

func atTheTable(b *bed.Bed, how order.How) studio.OrderView {
	in := b.Sale()
	in.Outlet, in.Lines = b.Market.ID, []book.SaleLine{{Edition: b.Card.ID}}
	in.Buyer, in.ShipTo, in.Postage, in.PaidHow = order.Buyer{}, order.Address{}, bed.USD(0), how
	v, err := dispatch.SellInPerson(b.Ctx, b.Studio, in)
	b.Must(err)
	return v
}

// Whatever is sold, undone, paid back and brought back: the takings of the day are the payments of the till's sales that stand, the cash box
// by the journal is what was counted, and the journal is sound.
func TestTakingsAreWhatTheTillSold(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		b := bed.New(t)
		d, err := fairs.Begin(b.Ctx, b.Studio, fair.Day{Outlet: b.Market.ID, Name: "Quay fair", Float: bed.USD(50_00)})
		b.Must(err)
		b.Must(book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: b.Take(b.Sale()).ID, Amount: bed.USD(5_00), How: order.InCash})) // no sale of the till
		want, cash := int64(0), int64(0)
		add := func(how order.How, minor int64) {
			want += minor
			if how == order.InCash {
				cash += minor
			}
		}
		for range rapid.IntRange(1, 5).Draw(r, "sales") {
			how := rapid.SampledFrom(order.Hows()).Draw(r, "how")
			v := atTheTable(b, how)
			price := v.Due.Minor
			add(how, price)
			switch rapid.SampledFrom([]string{"stays", "undone", "back", "count"}).Draw(r, "then") {
			case "undone": // hand-over, signing and payment, the latest first
				for _, m := range b.Order(v.ID).Marks {
					if m.Kind == studio.MarkHandedOver || m.Kind == studio.MarkPaid {
						b.Must(dispatch.Undo(b.Ctx, b.Studio, m.ID))
					}
				}
				add(how, -price)
			case "back":
				b.Must(book.TakeBack(b.Ctx, b.Studio, book.TakeBackIn{Order: v.ID, Lines: bed.LineIDs(v), Reason: "did not fit", Refund: bed.USD(5_00)}))
				add(how, -5_00)
			case "count":
				_, err := fairs.Count(b.Ctx, b.Studio, fairs.CountIn{Day: d.ID, Counted: bed.USD(60_00), Why: "change"})
				b.Must(err)
			}
		}
		_, err = fairs.AddCost(b.Ctx, b.Studio, fair.Cost{FairDay: d.ID, Kind: fair.Stall, Amount: bed.USD(8_00), FromBox: true})
		b.Must(err)
		v, err := fairs.Day(b.Ctx, b.Studio, d.ID)
		b.Must(err)
		if v.Sum.Minor != want || v.Takings.Cash != cash || v.Box.Minor != 50_00+cash-8_00 {
			r.Fatalf("taken %+v, want %d in all and %d in cash", v.Takings, want, cash)
		}
		v, err = fairs.Count(b.Ctx, b.Studio, fairs.CountIn{Day: d.ID, Counted: bed.USD(61_00), Why: "change", Minutes: 120})
		b.Must(err)
		if is, err := fairs.Day(b.Ctx, b.Studio, d.ID); err != nil || is.Left != v.Left || is.Earned.Left() != v.Earned.Left() {
			r.Fatalf("counted, %s are said to be left, and %s are: %v", v.Left, is.Left, err)
		}
		if got := balance(b, ledger.Cash); got != 61_00-50_00 {
			r.Fatalf("the cash box has %d by the journal", got)
		}
		if got := balance(b, ledger.CashOff); got != -v.Off.Minor {
			r.Fatalf("off by %d in the journal, %s on the day", got, v.Off)
		}
		if v.AnHour.Minor != v.Left.Minor/2 {
			r.Fatalf("%s left, %s an hour", v.Left, v.AnHour)
		}
		b.Sound()
	})
}

func balance(b *bed.Bed, account string) (minor int64) {
	var sums []ledger.Sum
	b.Must(b.Studio.Store.Read(b.Ctx, func(tx studio.Tx) (err error) {
		sums, err = tx.Sums("", "")
		return err
	}))
	for _, s := range sums {
		if s.Account == account {
			minor += s.Amount.Minor
		}
	}
	return minor
}

// A day is one, is counted with a word when it is off, and is taken back from its end; what comes after a period was closed goes to the first open day.
func TestADayAtTheTable(t *testing.T) {
	b := bed.New(t)
	today := calendar.Date(2026, 3, 4)
	yesterday := today.Add(-1)
	d, err := fairs.Begin(b.Ctx, b.Studio, fair.Day{Outlet: b.Market.ID, Day: yesterday, Name: "Quay fair", Float: bed.USD(50_00)})
	b.Must(err)
	_, err = fairs.Begin(b.Ctx, b.Studio, fair.Day{Outlet: b.Market.ID, Day: yesterday, Name: "Again"})
	b.Refused(err, fault.Taken, "day", "has a day at the table")
	_, err = fairs.Begin(b.Ctx, b.Studio, fair.Day{Outlet: b.Market.ID, Day: today.Add(1), Name: "Tomorrow"})
	b.Refused(err, fault.Invalid, "day", "future")
	_, err = fairs.Begin(b.Ctx, b.Studio, fair.Day{Outlet: 99, Name: "Nowhere"})
	b.Refused(err, fault.Missing, "outlet", "")
	_, err = journal.Close(b.Ctx, b.Studio, yesterday)
	b.Must(err)
	_, err = fairs.Count(b.Ctx, b.Studio, fairs.CountIn{Day: d.ID, Counted: bed.USD(48_00)})
	b.Refused(err, fault.Invalid, "why", "50.00 USD ought to be there")
	v, err := fairs.Count(b.Ctx, b.Studio, fairs.CountIn{Day: d.ID, Counted: bed.USD(48_00), Why: "change"})
	b.Must(err)
	if v.Off != bed.USD(-2_00) {
		t.Errorf("off by %s", v.Off)
	}
	var entered []ledger.Entry
	b.Must(b.Studio.Store.Read(b.Ctx, func(tx studio.Tx) (err error) {
		entered, err = tx.Entered(ledger.FairDay, []int64{d.ID})
		return err
	}))
	if len(entered) != 1 || entered[0].Day != today || entered[0].True != yesterday {
		t.Errorf("entered %+v, want today, with its true day", entered)
	}
	_, err = fairs.Drop(b.Ctx, b.Studio, d.ID)
	b.Refused(err, fault.Refused, "", "was counted")
	_, err = fairs.Reopen(b.Ctx, b.Studio, d.ID)
	b.Must(err)
	_, err = fairs.Reopen(b.Ctx, b.Studio, d.ID)
	b.Refused(err, fault.Refused, "", "not counted yet")
	_, err = fairs.Drop(b.Ctx, b.Studio, d.ID)
	b.Must(err)
	_, err = fairs.AddCost(b.Ctx, b.Studio, fair.Cost{FairDay: d.ID, Kind: fair.Stall, Amount: bed.USD(1)})
	b.Refused(err, fault.Refused, "", "taken back")
	if got := balance(b, ledger.CashOff); got != 0 {
		t.Errorf("%d are off after all was taken back", got)
	}
	b.Sound()
}

// Cash is kept nothing of on its way; a refund goes the way that the payments came.
func TestHowItWasPaid(t *testing.T) {
	b := bed.New(t)
	v := b.Take(b.Sale())
	b.Refused(book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: v.ID, Amount: bed.USD(1), How: "shells"}), fault.Invalid, "how", "shells")
	b.Must(book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: v.ID, Amount: bed.USD(40_00), How: order.ByCard}))
	b.Must(book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: v.ID, Kind: order.Refund, Amount: bed.USD(1_00)}))
	b.Must(book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: v.ID, Amount: bed.USD(10_00), How: order.InCash}))
	b.Must(book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: v.ID, Kind: order.Refund, Amount: bed.USD(1_00)}))
	var got []order.How
	for _, p := range b.Order(v.ID).Payments {
		got = append(got, p.How)
	}
	if !slices.Equal(got, []order.How{order.ByCard, order.ByCard, order.InCash, order.Unsaid}) {
		t.Errorf("paid %q", got)
	}
}
