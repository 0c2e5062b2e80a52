package store

import (
	"testing"

	"solander/internal/pgtest"
	"solander/order"
	"solander/studio"
	"solander/studio/storetest/bed"
)

// sharedPlaces says where two programs can have one studio open.
var sharedPlaces = map[string]func(*testing.T) string{
	"sqlite": inFile, "postgres": onServer, "pooled": func(t *testing.T) string { return pgtest.Pooled(t, onServer(t)) },
}

// twoAt opens two stores at one place.
func twoAt(t *testing.T, place string) (s, other studio.Store) {
	t.Helper()
	var both [2]studio.Store
	for i := range both {
		opened, err := Open(t.Context(), place, Options{})
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { _ = opened.Close() })
		both[i] = opened
	}
	return both[0], both[1]
}

// TestOpenOrdersAreNeverOld reads the open orders after each of several writes, of this store and of another one at the same place: what is kept
// between transactions is never older than what stands, and nobody changes it by changing what was read.
func TestOpenOrdersAreNeverOld(t *testing.T) {
	for engine, place := range sharedPlaces {
		t.Run(engine, func(t *testing.T) {
			s, other := twoAt(t, place(t))
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
						if w := got[i].Wait; w != nil {
							w.Until, w.With[0], w.For["tube"], w.Keeps["tube"] = got[i].Placed, "S-9", 9, 9
						}
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
			o.Wait = &order.Wait{Until: o.Placed.Add(3), With: []string{"S-2"}, For: map[string]int{"tube": 1}, Keeps: map[string]int{"tube": 1}, Saves: bed.USD(100), Who: "Ada"}
			bed.Write(t, s, func(tx studio.Tx) error { return tx.SaveOrder(o) })
			stand("it waits")
			if got := open(); got[0].Wait == nil || got[0].Wait.Keeps["tube"] != 1 {
				t.Errorf("%+v", got[0].Wait)
			}
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
	for engine, place := range sharedPlaces {
		t.Run(engine, func(t *testing.T) {
			s, other := twoAt(t, place(t))
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
