package book

import (
	"context"
	"errors"
	"fmt"
	"testing"
	"time"

	"solander/calendar"
	"solander/edition"
	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/studio"
	"solander/studio/storetest/bed"
)

func orderKept(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	ed, open := h.Declare(t, s, 9), h.Declare(t, s, 0)
	want := h.Sale(ed, open)
	want.Ref, want.ArriveBy, want.Closed = "A/77", bed.Today.Add(20), bed.Today.Add(30)
	want.Postage, want.Tax, want.Fee, want.TaxByOutlet, want.InPerson = bed.USD(450), money.Of(77, "EUR"), bed.USD(30), true, true
	want.Note, want.GiftMessage = "ring\ntwice", "For Ödön — ✂"
	want.ShipTo.Line2 = "2nd floor"
	want.Override, want.Choice = &order.Override{Reason: "a gift", At: time.Date(2031, 3, 4, 5, 6, 7, 8000, time.UTC), Who: "Ines"}, &order.Choice{ArriveBy: bed.Today.Add(9), Packaging: "boxed", Care: "signed", Reason: "hers", At: time.Date(2031, 3, 5, 6, 7, 8, 9000, time.UTC), Who: "Ada"}
	want.Wait = &order.Wait{
		Until: bed.Today.Add(3), With: []string{"S-12"}, For: map[string]int{"tube-20": 1}, Keeps: map[string]int{"tube-26": 2}, Saves: bed.USD(640),
		At: time.Date(2031, 3, 5, 6, 7, 8, 9000, time.UTC), Who: "Ines",
	}
	want.Lines[1].Signed, want.Lines[1].Sent, want.Lines[1].SignedDay, want.Lines[1].Price = true, true, bed.Today, bed.USD(1)
	given := bed.Add(t, s, want)
	bed.Same(t, "mark", "S-1001", given.Mark)
	want.ID, want.Mark = given.ID, given.Mark
	for i := range want.Lines {
		want.Lines[i].ID, want.Lines[i].Order = given.Lines[i].ID, given.ID
		if given.Lines[i].ID == 0 {
			t.Error("a line got no id")
		}
	}
	bed.Same(t, "given back", want, given)
	other := bed.Add(t, s, h.Sale(open))
	bed.Read(t, s, func(tx studio.Tx) error {
		for _, ask := range []func() (order.Order, error){
			func() (order.Order, error) { return tx.Order(want.ID) },
			func() (order.Order, error) { return tx.OrderByMark("S-1001") },
			func() (order.Order, error) {
				all, err := tx.OrdersByID([]int64{other.ID, want.ID})
				if err != nil {
					return order.Order{}, err
				}
				bed.Same(t, "the other order", other.ID, all[0].ID)
				return all[1], nil
			},
			func() (order.Order, error) { return tx.OrderByRef(h.Outlet, "A/77") },
			func() (order.Order, error) { return tx.OrderByLine(want.Lines[1].ID) },
		} {
			got, err := ask()
			if err != nil {
				return err
			}
			bed.Same(t, "order", want, got)
		}
		return nil
	})
	changed := want
	changed.Mark, changed.Ref, changed.Override, changed.Choice, changed.Wait, changed.State, changed.Note, changed.Lines, changed.InPerson, changed.ShipTo = "X-1", "B", nil, nil, nil, order.Closed, "", nil, false, order.Address{}
	bed.Write(t, s, func(tx studio.Tx) error { return tx.SaveOrder(changed) })
	changed.Mark, changed.Lines = want.Mark, want.Lines
	bed.Read(t, s, func(tx studio.Tx) error {
		got, err := tx.Order(want.ID)
		bed.Same(t, "saved: all but mark and lines", changed, got)
		return err
	})
}

func marksRise(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	var got []string
	mark := func() { got = append(got, bed.Add(t, s, h.Sale()).Mark) }
	mark()
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error {
		_, err := tx.AddOrder(h.Sale(999))
		return err
	})
	mark()
	bed.Write(t, s, func(tx studio.Tx) error { return tx.SaveSettings(studio.Settings{MarkPrefix: "Q"}) })
	mark()
	bed.Write(t, s, func(tx studio.Tx) error { return tx.SaveSettings(studio.Settings{}) })
	mark()
	bed.Same(t, "marks", []string{"S-1001", "S-1002", "Q-1003", "S-1004"}, got)
}

func referenceOnce(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	var other int64
	bed.Write(t, s, func(tx studio.Tx) (err error) { other, err = tx.SaveOutlet(order.Outlet{Name: "Pier"}); return err })
	o := h.Sale()
	o.Ref = "2031-7"
	first := bed.Add(t, s, o)
	bed.Refused(t, s, fault.Taken, func(tx studio.Tx) error { _, err := tx.AddOrder(o); return err })
	elsewhere := o
	elsewhere.Outlet = other
	second := bed.Add(t, s, elsewhere)
	second.Outlet = h.Outlet
	bed.Refused(t, s, fault.Taken, func(tx studio.Tx) error { return tx.SaveOrder(second) })
	bed.Write(t, s, func(tx studio.Tx) error { return tx.SaveOrder(first) })
	bed.Add(t, s, h.Sale())
	bed.Add(t, s, h.Sale()) // any number without a reference
	bed.Read(t, s, func(tx studio.Tx) error {
		all, err := tx.Orders(studio.OrderQuery{})
		bed.Same(t, "orders", 4, len(all))
		return err
	})
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.OrderByRef(h.Outlet, ""); return err })
}

func lineFollowsRegister(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 9)
	o := bed.Add(t, s, h.Sale(ed))
	l := o.Lines[0]
	l.Number, l.Signed, l.Sent = bed.Num(7), true, true // the register has the last word
	bed.Write(t, s, func(tx studio.Tx) error { return tx.SaveLine(l) })
	line := func() (got order.Line) {
		bed.Read(t, s, func(tx studio.Tx) error {
			o, err := tx.OrderByLine(l.ID)
			got = o.Lines[0]
			return err
		})
		return got
	}
	flags := func(x order.Line) []bool { return []bool{x.Signed, x.Sent} }
	bed.Same(t, "not promised", []bool{false, false}, flags(line()))
	bed.Stepped(t, s, ed, bed.Num(7), edition.Promise, l.ID, o.Mark)
	bed.Same(t, "promised", []bool{false, false}, flags(line()))
	bed.Stepped(t, s, ed, bed.Num(7), edition.Sign, l.ID, o.Mark)
	bed.Same(t, "signed", []bool{true, false}, flags(line()))
	bed.Same(t, "signed on", bed.Today, line().SignedDay)
	bed.Stepped(t, s, ed, bed.Num(7), edition.Send, l.ID, o.Mark)
	bed.Same(t, "sent", []bool{true, true}, flags(line()))
	bed.Stepped(t, s, ed, bed.Num(7), edition.Return, l.ID, o.Mark)
	bed.Same(t, "returned", []bool{false, false}, flags(line()))
}

func openByPromise(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	for i, promised := range []int{5, 2, 9, 2} {
		o := h.Sale()
		o.Promised, o.Note = bed.Today.Add(promised), fmt.Sprint(i)
		bed.Add(t, s, o)
	}
	o := h.Sale()
	o.Promised, o.Note = calendar.Day{}, "none"
	bed.Add(t, s, o)
	for _, state := range []order.State{order.Closed, order.Cancelled, order.Returned} {
		o := h.Sale()
		o.State = state
		bed.Add(t, s, o)
	}
	bed.Read(t, s, func(tx studio.Tx) error {
		open, err := tx.OpenOrders()
		var got []string
		for _, o := range open {
			got = append(got, o.Note)
		}
		bed.Same(t, "order", []string{"1", "3", "0", "2", "none"}, got)
		return err
	})
}

func ordersPaged(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	var outlet, buyer int64
	bed.Write(t, s, func(tx studio.Tx) (err error) {
		if outlet, err = tx.SaveOutlet(order.Outlet{Name: "Pier"}); err != nil {
			return err
		}
		buyer, err = tx.SaveBuyer(order.Buyer{Name: "Odo"})
		return err
	})
	var want []int64
	bed.Write(t, s, func(tx studio.Tx) error {
		for i := range 130 {
			o := h.Sale()
			if i%2 == 0 {
				o.Outlet = outlet
			}
			if i%3 == 0 {
				o.Buyer = buyer
			}
			if i%5 == 0 {
				o.State = order.Closed
			}
			o, err := tx.AddOrder(o)
			if err != nil {
				return err
			}
			if i%30 == 0 {
				want = append([]int64{o.ID}, want...)
			}
		}
		return nil
	})
	ids := func(q studio.OrderQuery) (got []int64) {
		t.Helper()
		bed.Read(t, s, func(tx studio.Tx) error {
			orders, err := tx.Orders(q)
			for _, o := range orders {
				got = append(got, o.ID)
			}
			return err
		})
		return got
	}
	all := studio.OrderQuery{State: order.Closed, Outlet: outlet, Buyer: buyer}
	bed.Same(t, "all restrictions", want, ids(all))
	all.Text = "mara" // the name on the parcel
	bed.Same(t, "with a text", want, ids(all))
	all.Limit = 2
	bed.Same(t, "first page", want[:2], ids(all))
	all.Before = want[1]
	bed.Same(t, "second page", want[2:4], ids(all))
	bed.Same(t, "fifty by default", 50, len(ids(studio.OrderQuery{})))
	bed.Same(t, "newest first", int64(130), ids(studio.OrderQuery{Limit: 1})[0])
}

func paymentsKept(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	o, other := bed.Add(t, s, h.Sale()), bed.Add(t, s, h.Sale())
	var want []order.Payment
	for _, p := range []order.Payment{
		{Kind: order.Deposit, Amount: bed.USD(4_000), Day: bed.Today, Note: "half"},
		{Kind: order.Balance, Amount: bed.USD(8_000), Day: bed.Today.Add(2)},
		{Kind: order.Refund, Amount: bed.USD(500), Day: bed.Today.Add(3)},
	} {
		p.Order = o.ID
		bed.Write(t, s, func(tx studio.Tx) (err error) { p.ID, err = tx.AddPayment(p); return err })
		want = append(want, p)
	}
	bed.Write(t, s, func(tx studio.Tx) error {
		_, err := tx.AddPayment(order.Payment{Order: other.ID, Kind: order.Deposit, Amount: bed.USD(1), Day: bed.Today})
		return err
	})
	bed.Write(t, s, func(tx studio.Tx) error { return tx.ReversePayment(want[1].ID) })
	want[1].Reversed = true
	bed.Refused(t, s, fault.Refused, func(tx studio.Tx) error { return tx.ReversePayment(want[1].ID) })
	bed.Read(t, s, func(tx studio.Tx) error {
		got, err := tx.Order(o.ID)
		bed.Same(t, "payments", want, got.Payments)
		return err
	})
	// Money that cannot be added up is never left out of a sum: the order is not given at all.
	bed.Write(t, s, func(tx studio.Tx) error {
		_, err := tx.AddPayment(order.Payment{Order: other.ID, Kind: order.Deposit, Amount: money.Of(1, "EUR"), Day: bed.Today})
		return err
	})
	err := s.Read(context.Background(), func(tx studio.Tx) error { _, err := tx.Order(other.ID); return err })
	if !fault.Is(err, fault.Refused) || !errors.Is(err, studio.ErrDamaged) {
		t.Errorf("an order paid in two currencies: %v", err)
	}
}
