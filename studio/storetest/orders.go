package storetest

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
)

func orderKept(t *testing.T, s studio.Store) {
	h := furnish(t, s)
	ed, open := h.declare(t, s, 9), h.declare(t, s, 0)
	want := h.Sale(ed, open)
	want.Ref, want.ArriveBy, want.Closed = "A/77", today.Add(20), today.Add(30)
	want.Postage, want.Tax, want.Fee, want.TaxByOutlet, want.InPerson = usd(450), money.Of(77, "EUR"), usd(30), true, true
	want.Note, want.GiftMessage = "ring\ntwice", "For Ödön — ✂"
	want.ShipTo.Line2 = "2nd floor"
	want.Override = &order.Override{Reason: "a gift", At: time.Date(2031, 3, 4, 5, 6, 7, 8000, time.UTC), Who: "Ines"}
	want.Lines[1].Signed, want.Lines[1].Sent, want.Lines[1].SignedDay, want.Lines[1].Price = true, true, today, usd(1)
	given := add(t, s, want)
	same(t, "mark", "S-1001", given.Mark)
	want.ID, want.Mark = given.ID, given.Mark
	for i := range want.Lines {
		want.Lines[i].ID, want.Lines[i].Order = given.Lines[i].ID, given.ID
		if given.Lines[i].ID == 0 {
			t.Error("a line got no id")
		}
	}
	same(t, "given back", want, given)
	other := add(t, s, h.Sale(open))
	read(t, s, func(tx studio.Tx) error {
		for _, ask := range []func() (order.Order, error){
			func() (order.Order, error) { return tx.Order(want.ID) },
			func() (order.Order, error) { return tx.OrderByMark("S-1001") },
			func() (order.Order, error) {
				all, err := tx.OrdersByID([]int64{other.ID, want.ID})
				if err != nil {
					return order.Order{}, err
				}
				same(t, "the other order", other.ID, all[0].ID)
				return all[1], nil
			},
			func() (order.Order, error) { return tx.OrderByRef(h.Outlet, "A/77") },
			func() (order.Order, error) { return tx.OrderByLine(want.Lines[1].ID) },
		} {
			got, err := ask()
			if err != nil {
				return err
			}
			same(t, "order", want, got)
		}
		return nil
	})
	changed := want
	changed.Mark, changed.Ref, changed.Override, changed.State, changed.Note, changed.Lines, changed.InPerson, changed.ShipTo = "X-1", "B", nil, order.Closed, "", nil, false, order.Address{}
	write(t, s, func(tx studio.Tx) error { return tx.SaveOrder(changed) })
	changed.Mark, changed.Lines = want.Mark, want.Lines
	read(t, s, func(tx studio.Tx) error {
		got, err := tx.Order(want.ID)
		same(t, "saved: all but mark and lines", changed, got)
		return err
	})
}

func marksRise(t *testing.T, s studio.Store) {
	h := furnish(t, s)
	var got []string
	mark := func() { got = append(got, add(t, s, h.Sale()).Mark) }
	mark()
	refused(t, s, fault.Missing, func(tx studio.Tx) error {
		_, err := tx.AddOrder(h.Sale(999))
		return err
	})
	mark()
	write(t, s, func(tx studio.Tx) error { return tx.SaveSettings(studio.Settings{MarkPrefix: "Q"}) })
	mark()
	write(t, s, func(tx studio.Tx) error { return tx.SaveSettings(studio.Settings{}) })
	mark()
	same(t, "marks", []string{"S-1001", "S-1002", "Q-1003", "S-1004"}, got)
}

func referenceOnce(t *testing.T, s studio.Store) {
	h := furnish(t, s)
	var other int64
	write(t, s, func(tx studio.Tx) (err error) { other, err = tx.SaveOutlet(order.Outlet{Name: "Pier"}); return err })
	o := h.Sale()
	o.Ref = "2031-7"
	first := add(t, s, o)
	refused(t, s, fault.Taken, func(tx studio.Tx) error { _, err := tx.AddOrder(o); return err })
	elsewhere := o
	elsewhere.Outlet = other
	second := add(t, s, elsewhere)
	second.Outlet = h.Outlet
	refused(t, s, fault.Taken, func(tx studio.Tx) error { return tx.SaveOrder(second) })
	write(t, s, func(tx studio.Tx) error { return tx.SaveOrder(first) })
	add(t, s, h.Sale())
	add(t, s, h.Sale()) // any number without a reference
	read(t, s, func(tx studio.Tx) error {
		all, err := tx.Orders(studio.OrderQuery{})
		same(t, "orders", 4, len(all))
		return err
	})
	refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.OrderByRef(h.Outlet, ""); return err })
}

func lineFollowsRegister(t *testing.T, s studio.Store) {
	h := furnish(t, s)
	ed := h.declare(t, s, 9)
	o := add(t, s, h.Sale(ed))
	l := o.Lines[0]
	l.Number, l.Signed, l.Sent = num(7), true, true // the register has the last word
	write(t, s, func(tx studio.Tx) error { return tx.SaveLine(l) })
	line := func() (got order.Line) {
		read(t, s, func(tx studio.Tx) error {
			o, err := tx.OrderByLine(l.ID)
			got = o.Lines[0]
			return err
		})
		return got
	}
	flags := func(x order.Line) []bool { return []bool{x.Signed, x.Sent} }
	same(t, "not promised", []bool{false, false}, flags(line()))
	step(t, s, ed, num(7), edition.Promise, l.ID, o.Mark)
	same(t, "promised", []bool{false, false}, flags(line()))
	step(t, s, ed, num(7), edition.Sign, l.ID, o.Mark)
	same(t, "signed", []bool{true, false}, flags(line()))
	same(t, "signed on", today, line().SignedDay)
	step(t, s, ed, num(7), edition.Send, l.ID, o.Mark)
	same(t, "sent", []bool{true, true}, flags(line()))
	step(t, s, ed, num(7), edition.Return, l.ID, o.Mark)
	same(t, "returned", []bool{false, false}, flags(line()))
}

func openByPromise(t *testing.T, s studio.Store) {
	h := furnish(t, s)
	for i, promised := range []int{5, 2, 9, 2} {
		o := h.Sale()
		o.Promised, o.Note = today.Add(promised), fmt.Sprint(i)
		add(t, s, o)
	}
	o := h.Sale()
	o.Promised, o.Note = calendar.Day{}, "none"
	add(t, s, o)
	for _, state := range []order.State{order.Closed, order.Cancelled, order.Returned} {
		o := h.Sale()
		o.State = state
		add(t, s, o)
	}
	read(t, s, func(tx studio.Tx) error {
		open, err := tx.OpenOrders()
		var got []string
		for _, o := range open {
			got = append(got, o.Note)
		}
		same(t, "order", []string{"1", "3", "0", "2", "none"}, got)
		return err
	})
}

func ordersPaged(t *testing.T, s studio.Store) {
	h := furnish(t, s)
	var outlet, buyer int64
	write(t, s, func(tx studio.Tx) (err error) {
		if outlet, err = tx.SaveOutlet(order.Outlet{Name: "Pier"}); err != nil {
			return err
		}
		buyer, err = tx.SaveBuyer(order.Buyer{Name: "Odo"})
		return err
	})
	var want []int64
	write(t, s, func(tx studio.Tx) error {
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
		read(t, s, func(tx studio.Tx) error {
			orders, err := tx.Orders(q)
			for _, o := range orders {
				got = append(got, o.ID)
			}
			return err
		})
		return got
	}
	all := studio.OrderQuery{State: order.Closed, Outlet: outlet, Buyer: buyer}
	same(t, "all restrictions", want, ids(all))
	all.Text = "mara" // the name on the parcel
	same(t, "with a text", want, ids(all))
	all.Limit = 2
	same(t, "first page", want[:2], ids(all))
	all.Before = want[1]
	same(t, "second page", want[2:4], ids(all))
	same(t, "fifty by default", 50, len(ids(studio.OrderQuery{})))
	same(t, "newest first", int64(130), ids(studio.OrderQuery{Limit: 1})[0])
}

func paymentsKept(t *testing.T, s studio.Store) {
	h := furnish(t, s)
	o, other := add(t, s, h.Sale()), add(t, s, h.Sale())
	var want []order.Payment
	for _, p := range []order.Payment{
		{Kind: order.Deposit, Amount: usd(4_000), Day: today, Note: "half"},
		{Kind: order.Balance, Amount: usd(8_000), Day: today.Add(2)},
		{Kind: order.Refund, Amount: usd(500), Day: today.Add(3)},
	} {
		p.Order = o.ID
		write(t, s, func(tx studio.Tx) (err error) { p.ID, err = tx.AddPayment(p); return err })
		want = append(want, p)
	}
	write(t, s, func(tx studio.Tx) error {
		_, err := tx.AddPayment(order.Payment{Order: other.ID, Kind: order.Deposit, Amount: usd(1), Day: today})
		return err
	})
	write(t, s, func(tx studio.Tx) error { return tx.ReversePayment(want[1].ID) })
	want[1].Reversed = true
	refused(t, s, fault.Refused, func(tx studio.Tx) error { return tx.ReversePayment(want[1].ID) })
	read(t, s, func(tx studio.Tx) error {
		got, err := tx.Order(o.ID)
		same(t, "payments", want, got.Payments)
		return err
	})
	// Money that cannot be added up is never left out of a sum: the order is not given at all.
	write(t, s, func(tx studio.Tx) error {
		_, err := tx.AddPayment(order.Payment{Order: other.ID, Kind: order.Deposit, Amount: money.Of(1, "EUR"), Day: today})
		return err
	})
	err := s.Read(context.Background(), func(tx studio.Tx) error { _, err := tx.Order(other.ID); return err })
	if !fault.Is(err, fault.Refused) || !errors.Is(err, studio.ErrDamaged) {
		t.Errorf("an order paid in two currencies: %v", err)
	}
}
