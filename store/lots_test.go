package store

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"testing"
	"time"

	"solander/calendar"
	"solander/earnings"
	"solander/ledger"
	"solander/order"
	"solander/studio"
	"solander/studio/storetest/bed"
)

// TestLotsFollowTheBook lets orders be sold, sold again at another price months later, go to another buyer and another state: after each step the sums that
// are kept of lots, of any days, are those of the journal's lines and of the orders as they stand, a line counts once, and the check finds nothing.
func TestLotsFollowTheBook(t *testing.T) {
	t.Parallel()
	for engine, places := range engines {
		t.Run(engine, func(t *testing.T) {
			now := time.Date(2031, 1, 10, 16, 0, 0, 0, time.UTC)
			s := openedWith(t, places(t)(t), Options{Clock: func() time.Time { return now }})
			h := bed.Furnished(t, s)
			other := bed.Person(t, s, order.Buyer{Name: "Ines Halloran"})
			eds := []int64{h.Declare(t, s, 50), h.Declare(t, s, 50)}
			again := 0
			all := func(step string) {
				bed.Read(t, s, func(tx studio.Tx) error { again += lotsAre(t, step, tx); return nil })
				found, err := s.Integrity(t.Context())
				if err != nil || len(found) > 0 {
					t.Errorf("%s: %q, %v", step, found, err)
				}
			}
			change := func(id int64, what func(*order.Order)) {
				bed.Write(t, s, func(tx studio.Tx) error {
					o, err := tx.Order(id)
					if err != nil {
						return err
					}
					what(&o)
					for _, l := range o.Lines {
						if err := tx.SaveLine(l); err != nil {
							return err
						}
					}
					return tx.SaveOrder(o)
				})
			}
			var ids []int64
			for i := range 4 {
				o := bed.Add(t, s, h.Sale(eds[0], eds[i%2]))
				ids = append(ids, o.ID)
				change(o.ID, func(o *order.Order) {
					o.State, o.Closed, o.Postage, o.Fee = order.Closed, calendar.Date(2031, time.Month(1+i/2), 5+i), bed.USD(700), bed.USD(int64(1+20*i)*1000)
					o.Tax, o.TaxByOutlet = bed.USD(int64(300+i)), i%2 == 1
					o.ShipTo.Country, o.ShipTo.Region = "US", []string{"VA", "OH"}[i%2]
				})
			}
			all("sold")
			for month := range 3 {
				now = time.Date(2031, time.Month(3+5*month), 12, 16, 0, 0, 0, time.UTC) // the last is in another year
				change(ids[month], func(o *order.Order) { o.Lines[0].Price = bed.USD(int64(5000 + month)) })
				all(fmt.Sprintf("another price, %d", month))
			}
			bed.Write(t, s, func(tx studio.Tx) error { return tx.MoveOrders(ids[:2], other) })
			all("to another buyer")
			change(ids[1], func(o *order.Order) { o.ShipTo.Country, o.ShipTo.Region = "DE", "" })
			all("to another state")
			bed.Write(t, s, func(tx studio.Tx) error {
				if err := tx.MoveOrders(ids[1:3], h.Buyer); err != nil {
					return err
				}
				o, err := tx.Order(ids[2])
				if err != nil {
					return err
				}
				o.Lines[1].Price, o.ShipTo.Region = bed.USD(1), "MD"
				if err := tx.SaveLine(o.Lines[1]); err != nil {
					return err
				}
				return tx.SaveOrder(o)
			})
			all("buyer, state and price at once")
			change(ids[3], func(o *order.Order) { o.State, o.Closed = order.Open, calendar.Day{} })
			all("taken back")
			now = time.Date(2033, 2, 2, 16, 0, 0, 0, time.UTC)
			change(ids[0], func(o *order.Order) { // what is left of it comes to nothing, and its parts do not
				o.Fee = bed.USD(o.Lines[0].Price.Minor + o.Lines[1].Price.Minor + o.Postage.Minor)
			})
			all("nothing is left")
			if again == 0 {
				t.Error("no line was sold in two months: nothing was tested")
			}
		})
	}
}

// lotsAre compares lots of some spans with what the lines of the journal come to, and returns how many lines were sold in more than one month.
func lotsAre(t *testing.T, step string, tx studio.Tx) (again int) {
	t.Helper()
	var entries []ledger.Entry
	if err := tx.EachEntry(calendar.Day{}, calendar.Day{}, func(e ledger.Entry) error { entries = append(entries, e); return nil }); err != nil {
		t.Fatal(err)
	}
	months := map[int64][]string{}
	for _, e := range entries {
		for _, l := range e.Lines {
			if f, ok := earnings.Of(l.Account, l.Amount); ok && f.Part == earnings.Price && !slices.Contains(months[l.Line], ledger.Month(e.Day)) {
				months[l.Line] = append(months[l.Line], ledger.Month(e.Day))
			}
		}
	}
	for _, m := range months {
		if len(m) > 1 {
			again++
		}
	}
	day := calendar.Date
	for _, span := range [][2]calendar.Day{
		{}, {day(2031, 1, 1), day(2031, 12, 31)}, {day(2031, 1, 7), day(2031, 8, 12)}, {day(2031, 2, 1), {}}, {{}, day(2031, 12, 31)}, {day(2031, 1, 6), day(2031, 1, 6)}, {day(2031, 1, 1), day(2032, 12, 31)}, {day(2030, 11, 2), day(2033, 2, 3)}, {day(2031, 3, 1), day(2032, 1, 31)}, {{}, day(2031, 8, 12)},
	} {
		piecesAre(t, step, tx, entries, span)
		for _, by := range []earnings.Lot{earnings.LotEdition, earnings.LotOutlet, earnings.LotBuyer, earnings.LotState, earnings.LotOrder} {
			got, err := tx.SumsOfLots(earnings.Query{By: by, From: span[0], To: span[1]})
			if err != nil {
				t.Fatal(err)
			}
			if want, got := gathered(t, tx, entries, by, span), byLot(got); !maps.Equal(got, want) {
				t.Errorf("%s, by %s, %v: %v, the journal says %v", step, by, span, got, want)
			}
		}
		for _, by := range []earnings.Lot{earnings.LotBuyer, earnings.LotOrder} {
			want := mostOf(gathered(t, tx, entries, by, span), by)
			for _, most := range []int{1, 3, 100} {
				got, all, err := tx.MostOfLot(earnings.Query{By: by, From: span[0], To: span[1], Currency: "USD", Most: most})
				if err != nil {
					t.Fatal(err)
				}
				if all != len(want) || !slices.Equal(got, want[:min(most, len(want))]) {
					t.Errorf("%s, most by %s, %v: %v of %d, the journal says %v", step, by, span, got, all, want)
				}
			}
		}
	}
	return again
}

// piecesAre compares what a tax return asks of some days with what the lines of the journal come to.
func piecesAre(t *testing.T, step string, tx studio.Tx, entries []ledger.Entry, span [2]calendar.Day) {
	t.Helper()
	if span[1].IsZero() {
		span[1] = calendar.Date(2100, 1, 1)
	}
	want := map[int64][4]int64{}
	for _, e := range entries {
		for _, l := range e.Lines {
			i, asked := map[string]int{ledger.Sales: 0, ledger.Returns: 0, ledger.PostageCharged: 1, ledger.Tax: 2, ledger.OutletTax: 3}[l.Account]
			if asked && l.Order != 0 && !e.Day.Before(span[0]) && !e.Day.After(span[1]) {
				p := want[l.Order]
				p[i] -= l.Amount.Minor
				want[l.Order] = p
			}
		}
	}
	pieces, err := tx.TaxPieces(span[0], span[1])
	if err != nil {
		t.Fatal(err)
	}
	got := map[int64][4]int64{}
	for _, p := range pieces {
		got[p.Order] = [4]int64{p.Goods.Minor, p.Postage.Minor, p.Tax.Minor, p.OutletTax.Minor}
	}
	if !maps.Equal(got, want) || len(pieces) != len(got) {
		t.Errorf("%s, of a return of %v: %v, the journal says %v", step, span, got, want)
	}
}

// lotPart is a part of one of a lot.
type lotPart struct {
	id   int64
	text string
	part earnings.Part
}

// lotFigure is its amount, and prints.
type lotFigure struct {
	minor  int64
	prints int
}

func byLot(sums []earnings.LotSum) map[lotPart]lotFigure {
	out := map[lotPart]lotFigure{}
	for _, s := range sums {
		out[lotPart{s.ID, s.Text, s.Part}] = lotFigure{s.Amount.Minor, s.Prints}
	}
	return out
}

// mostOf are those of whom something was earned or cost, by what is left; of orders what was sold does not count by itself.
func mostOf(of map[lotPart]lotFigure, by earnings.Lot) []int64 {
	left, there := map[int64]int64{}, map[int64]bool{}
	for k, x := range of {
		left[k.id] += x.minor
		there[k.id] = there[k.id] || x.minor != 0 || by == earnings.LotBuyer && x.prints > 0
	}
	if by == earnings.LotOrder {
		delete(there, 0)
	}
	maps.DeleteFunc(there, func(_ int64, ok bool) bool { return !ok })
	return slices.SortedFunc(maps.Keys(there), func(a, b int64) int { return cmp.Or(cmp.Compare(left[b], left[a]), cmp.Compare(a, b)) })
}

// gathered adds up lines of the journal, each as its order stands.
func gathered(t *testing.T, tx studio.Tx, entries []ledger.Entry, by earnings.Lot, span [2]calendar.Day) map[lotPart]lotFigure {
	t.Helper()
	out := map[lotPart]lotFigure{}
	sold := map[lotPart]map[int64]bool{}
	for _, e := range entries {
		if e.Day.Before(span[0]) || !span[1].IsZero() && e.Day.After(span[1]) {
			continue
		}
		for _, l := range e.Lines {
			f, ok := earnings.Of(l.Account, l.Amount)
			if !ok {
				continue
			}
			var o order.Order
			if l.Order != 0 {
				var err error
				if o, err = tx.Order(l.Order); err != nil {
					t.Fatal(err)
				}
			}
			key := map[earnings.Lot]lotPart{
				earnings.LotEdition: {id: l.Edition}, earnings.LotOutlet: {id: l.Outlet}, earnings.LotBuyer: {id: o.Buyer},
				earnings.LotState: {text: earnings.State(o.ShipTo.Country, o.ShipTo.Region)}, earnings.LotOrder: {id: l.Order},
			}[by]
			key.part = f.Part
			x := out[key]
			if x.minor += f.Amount.Minor; f.Part == earnings.Price {
				if sold[key] == nil {
					sold[key] = map[int64]bool{}
				}
				sold[key][l.Line] = true
				x.prints = len(sold[key])
			}
			out[key] = x
		}
	}
	for key, x := range out {
		if x == (lotFigure{}) {
			delete(out, key)
		}
	}
	return out
}
