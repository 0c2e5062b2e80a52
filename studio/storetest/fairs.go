package storetest

import (
	"testing"

	"solander/fair"
	"solander/fault"
	"solander/order"
	"solander/studio"
	"solander/studio/storetest/bed"
)

// fairsKept: a day comes back whole, an outlet has one table a day unless it was taken back, a cost is reversed and never dropped, and the
// orders of a day are those that are handed over in person.
func fairsKept(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	bed.Write(t, s, func(tx studio.Tx) error { return bed.Table(tx, h) })
	again := fair.Day{Outlet: h.Outlet, Day: bed.Today, Name: "Again", Float: bed.USD(0), Counted: bed.USD(0)}
	bed.Refused(t, s, fault.Taken, func(tx studio.Tx) error { _, err := tx.SaveFairDay(again); return err })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error {
		_, err := tx.SaveFairDay(fair.Day{Outlet: 99, Day: bed.Today, Name: "x", Float: bed.USD(0), Counted: bed.USD(0)})
		return err
	})
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.FairDay(9); return err })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { return tx.ReverseFairCost(9) })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { return tx.ReverseFairCarry(9) })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error {
		_, err := tx.AddFairCarry(fair.Carry{FairDay: 9, Amount: bed.USD(5), Day: bed.Today})
		return err
	})
	stands(t, s, map[string]int64{"cash": -30 - 5, "fair-costs": 30, "bank": 5})
	var day fair.Day
	bed.Write(t, s, func(tx studio.Tx) (err error) {
		if day, err = tx.FairDay(1); err != nil {
			return err
		}
		for _, inPerson := range []bool{true, false} {
			o := h.Sale()
			o.InPerson = inPerson
			if o, err = tx.AddOrder(o); err != nil || !inPerson {
				continue
			}
			if _, err = tx.AddPayment(order.Payment{Order: o.ID, Kind: order.Balance, Amount: bed.USD(700), Day: day.Day, How: order.InCash}); err != nil {
				return err
			}
		}
		if err != nil {
			return err
		}
		day.Ended, day.Counted, day.Why, day.Minutes = true, bed.USD(720), "change", 390
		if _, err := tx.SaveFairDay(day); err != nil {
			return err
		}
		if err := tx.ReverseFairCarry(1); err != nil {
			return err
		}
		return tx.ReverseFairCost(1)
	})
	bed.Read(t, s, func(tx studio.Tx) error {
		got, err := tx.FairDay(1)
		bed.Same(t, "the day", day, got)
		if err != nil {
			return err
		}
		costs, err := tx.FairCosts(1)
		bed.Same(t, "the cost", true, len(costs) == 1 && costs[0].Reversed && costs[0].FromBox)
		if err != nil {
			return err
		}
		carried, err := tx.FairCarries(1)
		bed.Same(t, "what was carried", true, len(carried) == 1 && carried[0].Reversed && carried[0].Note == "in rolls" && carried[0].Day == bed.Today)
		if err != nil {
			return err
		}
		orders, err := tx.FairOrders(day)
		bed.Same(t, "the orders", 1, len(orders))
		bed.Same(t, "how it was paid", order.InCash, orders[0].Payments[0].How)
		return err
	})
	stands(t, s, map[string]int64{"cash": 720 - 50, "cash-differences": 700 + 50 - 720, "at-outlets": 0, "deposits": -700})
	bed.Write(t, s, func(tx studio.Tx) error { return tx.ReversePayment(1) })
	stands(t, s, map[string]int64{"cash": 720 - 50, "cash-differences": 50 - 720, "at-outlets": 0, "deposits": 0})
	bed.Write(t, s, func(tx studio.Tx) error {
		day.Dropped = true
		if _, err := tx.SaveFairDay(day); err != nil {
			return err
		}
		_, err := tx.SaveFairDay(again)
		return err
	})
	stands(t, s, map[string]int64{"cash": 0, "cash-differences": 0})
	bed.Sound(t, s)
}
