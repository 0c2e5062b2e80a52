package storetest

import (
	"testing"

	"solander/charging"
	"solander/fault"
	"solander/studio"
	"solander/studio/storetest/bed"
)

// payoutsKept: a payout comes back whole, an order is in one that stands, and one that was taken back frees its orders.
func payoutsKept(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 5)
	ids := make([]int64, 3)
	bed.Write(t, s, func(tx studio.Tx) error {
		for i := range ids {
			o, err := tx.AddOrder(h.Sale(ed))
			if err != nil {
				return err
			}
			ids[i] = o.ID
		}
		_, err := bed.PaidOut(tx, h, ids[1])
		return err
	})
	bed.Refused(t, s, fault.Taken, func(tx studio.Tx) error { _, err := bed.PaidOut(tx, h, ids[1]); return err })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.Payout(9); return err })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { return tx.TakePayoutBack(9) })
	free := func(tx studio.Tx, limit int) []int64 {
		out, err := tx.NotPaidOut(h.Outlet, bed.Today.Add(400), limit)
		bed.Same(t, "no error", nil, err)
		return out
	}
	bed.Read(t, s, func(tx studio.Tx) error {
		p, err := tx.Payout(1)
		if err != nil {
			return err
		}
		bed.Same(t, "the payout", charging.Payout{ID: 1, Outlet: h.Outlet, Net: bed.USD(91), Day: bed.Today, Note: "March", At: p.At, Who: "Ines"}, p)
		parts, err := tx.PayoutParts(1)
		bed.Same(t, "its parts", []charging.PaidOut{{Payout: 1, Order: ids[1], Gross: bed.USD(100), Was: bed.USD(7), Fee: bed.USD(8), Payment: bed.USD(1)}}, parts)
		bed.Same(t, "not paid out", []int64{ids[0], ids[2]}, free(tx, 9))
		bed.Same(t, "the latest of them", []int64{ids[2]}, free(tx, 1))
		if err != nil {
			return err
		}
		in, err := tx.PayoutOf(ids)
		bed.Same(t, "where they are", map[int64]int64{ids[1]: 1}, in)
		return err
	})
	bed.Write(t, s, func(tx studio.Tx) error {
		if err := tx.TakePayoutBack(1); err != nil {
			return err
		}
		bed.Same(t, "free again", ids, free(tx, 9))
		_, err := bed.PaidOut(tx, h, ids[1])
		return err
	})
	bed.Read(t, s, func(tx studio.Tx) error {
		all, err := tx.Payouts(0, 9)
		if err != nil {
			return err
		}
		bed.Same(t, "the latest first, the first taken back", []any{2, int64(2), false, true}, []any{len(all), all[0].ID, all[0].Back, all[len(all)-1].Back})
		all, err = tx.Payouts(1, 9)
		bed.Same(t, "without the latest", 1, len(all))
		return err
	})
}
