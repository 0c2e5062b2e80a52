package storetest

import (
	"fmt"
	"testing"
	"time"

	"solander/fault"
	"solander/order"
	"solander/studio"
	"solander/studio/storetest/bed"
)

// Orders and payments that are added in a set come back as those that are added one by one, whatever their number.
func addedInSets(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 5)
	var fresh []order.Order
	for i := range 131 {
		o := h.Sale([]int64{ed, ed}[:i%3%2+i%2]...)
		if i%2 == 0 {
			o.Ref = fmt.Sprint("A-", i)
		}
		fresh = append(fresh, o)
	}
	var added []order.Order
	bed.Write(t, s, func(tx studio.Tx) (err error) {
		if added, err = tx.AddOrders(fresh); err != nil {
			return err
		}
		var payments []order.Payment
		for i := range added {
			for range i % 3 {
				payments = append(payments, order.Payment{Order: added[i].ID, Kind: order.Deposit, Amount: bed.USD(int64(100 + i)), Day: bed.Today, Note: "cash"})
			}
		}
		return tx.AddPayments(payments)
	})
	single := bed.Add(t, s, fresh[1])
	bed.Read(t, s, func(tx studio.Tx) error {
		paid := int64(0)
		for i, o := range added {
			bed.Same(t, "mark", fmt.Sprintf("S-%d", 1001+i), o.Mark)
			got, err := tx.Order(o.ID)
			if err != nil {
				return err
			}
			bed.Same(t, "payments", i%3, len(got.Payments))
			for _, p := range got.Payments {
				paid++
				bed.Same(t, "payment", order.Payment{ID: paid, Order: o.ID, Kind: order.Deposit, Amount: bed.USD(int64(100 + i)), Day: bed.Today, Note: "cash"}, p)
			}
			got.Payments = nil
			bed.Same(t, "order", o, got)
		}
		one, err := tx.Order(single.ID)
		bed.Same(t, "the same one by one", ungiven(one), ungiven(added[1]))
		return err
	})
	bed.Same(t, "found by a word of theirs", []string{"S-1001"}, bed.Found(t, s, "S-1001"))
	for what, set := range map[string][]order.Order{
		"one that stands": {h.Sale(ed), fresh[0], h.Sale(ed)}, "one of the set": {h.Sale(), refs(h.Sale(), "B-1"), refs(h.Sale(), "B-1"), h.Sale()},
	} {
		bed.Refused(t, s, fault.Taken, func(tx studio.Tx) error { _, err := tx.AddOrders(set); return err })
		bed.Read(t, s, func(tx studio.Tx) error {
			all, err := tx.Orders(studio.OrderQuery{Limit: 500})
			bed.Same(t, what, 132, len(all))
			return err
		})
	}
}

func refs(o order.Order, ref string) order.Order {
	o.Ref = ref
	return o
}

// ungiven is an order without what the store gave it.
func ungiven(o order.Order) order.Order {
	o.ID, o.Mark = 0, ""
	o.Lines = append([]order.Line(nil), o.Lines...)
	for i := range o.Lines {
		o.Lines[i].ID, o.Lines[i].Order = 0, 0
	}
	return o
}

// Orders that are called off are what saving each of them, its lines and payments so would leave; the others stay as they are.
func calledOff(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	open := h.Declare(t, s, 0)
	var ids []int64
	var want []order.Order
	for i := range 9 {
		o := refs(h.Sale(open, open), fmt.Sprint("A-", i))
		o.Lines[1].Signed, o.Lines[1].Sent, o.Lines[1].SignedDay = true, true, bed.Today
		o.State, o.Closed, o.Override = order.Closed, bed.Today, &order.Override{Reason: "r", At: time.Date(2031, 3, 4, 5, 6, 7, 0, time.UTC), Who: "Ines"}
		o.Choice = &order.Choice{Care: "tracked", Reason: "r", At: time.Date(2031, 3, 4, 5, 6, 7, 0, time.UTC), Who: "Ines"}
		o.Wait = &order.Wait{Until: bed.Today.Add(2), Saves: bed.USD(1)}
		o = bed.Add(t, s, o)
		p := order.Payment{Order: o.ID, Kind: order.Balance, Amount: bed.USD(100), Day: bed.Today}
		bed.Write(t, s, func(tx studio.Tx) (err error) { p.ID, err = tx.AddPayment(p); return err })
		if i == 0 { // taken back earlier
			bed.Write(t, s, func(tx studio.Tx) error { return tx.ReversePayment(p.ID) })
			p.Reversed = true
		}
		o.Payments = []order.Payment{p}
		want = append(want, o)
		if i != 4 {
			ids = append(ids, o.ID)
		}
	}
	on := bed.Today.Add(3)
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { return tx.CallOff(append([]int64{99}, ids...), on) })
	bed.Write(t, s, func(tx studio.Tx) error { return tx.CallOff(ids, on) })
	bed.Write(t, s, func(tx studio.Tx) error { return tx.CallOff(nil, on) })
	bed.Read(t, s, func(tx studio.Tx) error {
		for i, o := range want {
			if i != 4 {
				o.State, o.Closed, o.Ref, o.Override, o.Choice, o.Wait = order.Cancelled, on, "", nil, nil, nil
				o.Lines = append([]order.Line(nil), o.Lines...)
				for j := range o.Lines {
					l := &o.Lines[j]
					*l = order.Line{ID: l.ID, Order: l.Order, Edition: l.Edition, Price: l.Price, Dropped: true}
				}
				o.Payments = []order.Payment{o.Payments[0]}
				o.Payments[0].Reversed = true
			}
			got, err := tx.Order(o.ID)
			bed.Same(t, "called off", o, got)
			if err != nil {
				return err
			}
		}
		return nil
	})
	bed.Add(t, s, refs(h.Sale(), "A-1")) // its reference is free again
}
