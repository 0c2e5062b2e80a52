package store

import (
	"testing"

	"solander/order"
	"solander/studio"
	"solander/studio/storetest/bed"
)

// TestOpenOrdersAreNeverOld reads the open orders after each of several writes, of this store and of another one at the same place: what is kept
// between transactions is never older than what stands, and nobody changes it by changing what was read.
func TestOpenOrdersAreNeverOld(t *testing.T) {
	for engine, places := range engines {
		t.Run(engine, func(t *testing.T) {
			place := places(t)(t)
			opened := func() studio.Store {
				s, err := Open(t.Context(), place, Options{})
				if err != nil {
					t.Fatal(err)
				}
				t.Cleanup(func() { _ = s.Close() })
				return s
			}
			s, other := opened(), opened()
			h := bed.Furnished(t, s)
			ed := h.Declare(t, s, 9)
			open := func() []order.Order {
				var out []order.Order
				bed.Read(t, s, func(tx studio.Tx) (err error) {
					out, err = tx.OpenOrders()
					return err
				})
				return out
			}
			stand := func(what string) {
				t.Helper()
				var fresh []order.Order
				bed.Write(t, other, func(tx studio.Tx) (err error) { // one that writes reads anew
					fresh, err = tx.OpenOrders()
					return err
				})
				for range 2 {
					got := open()
					bed.Same(t, what, fresh, got)
					for i := range got { // whoever reads them may do with them what she likes
						got[i].Note = "changed"
						for j := range got[i].Lines {
							got[i].Lines[j].Signed = true
						}
					}
				}
			}
			stand("none")
			o := bed.Add(t, s, h.Sale(ed, ed))
			stand("one is added")
			bed.Promise(t, s, ed, o)
			stand("it has a number")
			o.Note = "by the other"
			bed.Write(t, other, func(tx studio.Tx) error { return tx.SaveOrder(o) })
			stand("the other store wrote")
			if got := open(); len(got) != 1 || got[0].Note != "by the other" {
				t.Errorf("%+v", got)
			}
			bed.Write(t, s, func(tx studio.Tx) error {
				_, err := tx.AddPayment(order.Payment{Order: o.ID, Kind: order.Deposit, Amount: bed.USD(100), Day: o.Placed})
				return err
			})
			stand("a payment came in")
			o.State = order.Cancelled
			bed.Write(t, s, func(tx studio.Tx) error { return tx.SaveOrder(o) })
			stand("it is closed")
		})
	}
}

// TestSalesByDayAreNeverOld does the same with what was sold of an edition by day, and with the sales of another edition beside them.
func TestSalesByDayAreNeverOld(t *testing.T) {
	for engine, places := range engines {
		t.Run(engine, func(t *testing.T) {
			place := places(t)(t)
			opened := func() studio.Store {
				s, err := Open(t.Context(), place, Options{})
				if err != nil {
					t.Fatal(err)
				}
				t.Cleanup(func() { _ = s.Close() })
				return s
			}
			s, other := opened(), opened()
			h := bed.Furnished(t, s)
			one, two := h.Declare(t, s, 9), h.Declare(t, s, 9)
			sold := func(ed int64) (n int) {
				var got []studio.SoldDay
				bed.Read(t, s, func(tx studio.Tx) (err error) {
					got, err = tx.SoldDays(ed)
					return err
				})
				for i := range got { // whoever reads them may do with them what she likes
					n += got[i].Count
					got[i].Count = 99
				}
				return n
			}
			stand := func(what string, first, second int) {
				t.Helper()
				for range 2 {
					if a, b := sold(one), sold(two); a != first || b != second {
						t.Errorf("%s: %d and %d are sold, not %d and %d", what, a, b, first, second)
					}
				}
			}
			stand("none", 0, 0)
			bed.Promise(t, s, one, bed.Add(t, s, h.Sale(one)))
			stand("one is sold", 1, 0)
			o := bed.Add(t, other, h.Sale(two, two))
			bed.Promise(t, other, two, o)
			stand("the other store sold two", 1, 2)
			o.State = order.Cancelled
			bed.Write(t, other, func(tx studio.Tx) error { return tx.SaveOrder(o) })
			stand("they are cancelled", 1, 0)
		})
	}
}
