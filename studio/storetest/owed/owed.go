// Package owed is the part of the contract that tells how papers of money are kept, and which orders are unsettled.
package owed

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"solander/calendar"
	"solander/fault"
	"solander/invoice"
	"solander/ledger"
	"solander/money"
	"solander/order"
	"solander/studio"
	"solander/studio/storetest/bed"
	"solander/tax"
	"solander/yearly"
)

// Tests is this part of the contract, one sentence a rule.
var Tests = map[string]func(*testing.T, studio.Store){
	"papers of money are kept as they were, numbered without gaps":    billsKept,
	"rates of tax are kept once a place and day, certificates by day": taxesKept,
	"a year and a return are read off the journal":                    yearRead,
	"unsettled are the ended orders of which something is owed":       unsettled,
}

func bill(k invoice.Kind, number, orderID int64) invoice.Bill {
	return invoice.Bill{
		Kind: k, Number: number, Day: bed.Today, Order: orderID, Net: bed.USD(900), Tax: bed.USD(100), Total: bed.USD(1000),
		To: invoice.Party{Name: "Ödön Nagy", Lines: []string{"1 Weir Road", "Olentine OH  43202"}}, At: time.Date(2031, 3, 4, 5, 6, 7, 8000, time.UTC), Who: "Ines",
		Body: invoice.Body{
			Mark: "S-1001", Placed: bed.Today, Reason: "it came back\n“bent”", Owed: bed.USD(0),
			Lines: []invoice.Line{{Text: "17/250 Heron", Amount: bed.USD(1000)}}, Taxes: []invoice.Tax{{Text: "Tax", Base: bed.USD(900), Amount: bed.USD(100), Inside: true}},
		},
	}
}

func billsKept(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	o := bed.Add(t, s, h.Sale(h.Declare(t, s, 9)))
	other := bed.Add(t, s, h.Sale(h.Declare(t, s, 9)))
	first, second := bill(invoice.Invoice, 57, o.ID), bill(invoice.Invoice, 58, other.ID)
	note := bill(invoice.Credit, 1, o.ID)
	bed.Write(t, s, func(tx studio.Tx) (err error) {
		if n, _, err := tx.LastBill(invoice.Invoice); n != 0 || err != nil {
			t.Errorf("the last of none is %d, %v", n, err)
		}
		if first.ID, err = tx.AddBill(first); err != nil {
			return err
		}
		if second.ID, err = tx.AddBill(second); err != nil {
			return err
		}
		note.Corrects = first.ID
		note.ID, err = tx.AddBill(note)
		return err
	})
	for name, number := range map[string]int64{"a number twice": 58, "a gap": 60, "one before the first": 56} {
		bed.Refused(t, s, fault.Taken, func(tx studio.Tx) error {
			_, err := tx.AddBill(bill(invoice.Invoice, number, o.ID))
			if err == nil {
				t.Error(name + " went through")
			}
			return err
		})
	}
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error {
		_, err := tx.AddBill(bill(invoice.Invoice, 59, o.ID+99))
		return err
	})
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error {
		_, err := tx.BillNumbered(invoice.Receipt, 1)
		return err
	})
	bed.Read(t, s, func(tx studio.Tx) error {
		got, err := tx.Bill(first.ID)
		bed.Same(t, "by id", first, got)
		if err != nil {
			return err
		}
		got, err = tx.BillNumbered(invoice.Credit, 1)
		bed.Same(t, "by number", note, got)
		if err != nil {
			return err
		}
		n, day, err := tx.LastBill(invoice.Invoice)
		bed.Same(t, "the last", fmt.Sprint(58, bed.Today), fmt.Sprint(n, day))
		if err != nil {
			return err
		}
		for what, ask := range map[string]struct {
			q    invoice.Query
			want []int64
		}{
			"all, newest first": {invoice.Query{}, []int64{note.ID, second.ID, first.ID}},
			"of a kind":         {invoice.Query{Kind: invoice.Invoice}, []int64{second.ID, first.ID}},
			"of an order":       {invoice.Query{Order: o.ID}, []int64{note.ID, first.ID}},
			"that correct":      {invoice.Query{Corrects: first.ID}, []int64{note.ID}},
			"a page":            {invoice.Query{Limit: 1}, []int64{note.ID}},
			"the next page":     {invoice.Query{Before: note.ID, Limit: 1}, []int64{second.ID}},
		} {
			all, err := tx.Bills(ask.q)
			if err != nil {
				return err
			}
			var ids []int64
			for _, b := range all {
				ids = append(ids, b.ID)
			}
			bed.Same(t, what, ask.want, ids)
		}
		return nil
	})
}

func taxesKept(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	later := tax.Rate{Country: "US", Region: "OH", From: bed.Today.Add(9), Rate: 1, Postage: true, Inside: true, Name: "Sales tax", Source: "a notice"}
	first := tax.Rate{Country: "US", Region: "OH", From: bed.Today, Rate: 57500, Name: "Sales tax"}
	whole := tax.Rate{Country: "DE", From: bed.Today.Add(99), Rate: 190000, Name: "Steuer"}
	buyer := bed.Person(t, s, order.Buyer{Name: "Lumen Gallery"})
	paper := tax.Certificate{Buyer: buyer, Country: "US", Region: "OH", Number: "12-77", From: bed.Today}
	bed.Write(t, s, func(tx studio.Tx) (err error) {
		for _, r := range []*tax.Rate{&later, &first, &whole} {
			if r.ID, err = tx.SaveTaxRate(*r); err != nil {
				return err
			}
		}
		paper.ID, err = tx.AddResale(paper)
		return err
	})
	first.Rate = 60000
	bed.Write(t, s, func(tx studio.Tx) error {
		again := first
		again.ID = 0
		id, err := tx.SaveTaxRate(again)
		bed.Same(t, "in the place of the one before", first.ID, id)
		if err != nil {
			return err
		}
		paper.Until = bed.Today.Add(7)
		return tx.EndResale(paper.ID, paper.Until)
	})
	bed.Read(t, s, func(tx studio.Tx) error {
		rates, err := tx.TaxRates()
		bed.Same(t, "by place and day", []tax.Rate{whole, first, later}, rates)
		if err != nil {
			return err
		}
		mine, err := tx.Resales(buyer)
		bed.Same(t, "of a buyer", []tax.Certificate{paper}, mine)
		if err != nil {
			return err
		}
		others, err := tx.Resales(h.Buyer)
		bed.Same(t, "of another", 0, len(others))
		if err != nil {
			return err
		}
		all, err := tx.Resales(0)
		bed.Same(t, "of all", []tax.Certificate{paper}, all)
		return err
	})
	bed.Write(t, s, func(tx studio.Tx) error { return tx.DropTaxRate(later.ID) })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { return tx.DropTaxRate(later.ID) })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { return tx.EndResale(paper.ID+9, bed.Today) })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error {
		_, err := tx.AddResale(tax.Certificate{Buyer: buyer + 99, Number: "x"})
		return err
	})
}

func yearRead(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	o := h.Sale(h.Declare(t, s, 9))
	o.Placed, o.ShipTo.Country, o.ShipTo.Region = calendar.Date(2031, 3, 4), "US", "OH"
	o = bed.Add(t, s, o)
	refs := ledger.Refs{Order: o.ID}
	bed.Write(t, s, func(tx studio.Tx) error {
		for i, d := range []calendar.Day{calendar.Date(2030, 12, 31), calendar.Date(2031, 1, 1), calendar.Date(2031, 12, 31), calendar.Date(2032, 1, 1)} {
			n := int64(1) << (4 * i)
			e := ledger.Event{}
			e.Add(ledger.Sales, bed.USD(-100*n), refs)
			e.Add(ledger.PostageCharged, bed.USD(-10*n), refs)
			e.Add(ledger.Tax, bed.USD(-n), refs)
			e.Add(ledger.Returns, bed.USD(20*n), refs)
			e.Add(ledger.Bank, bed.USD(91*n), refs)
			if err := tx.Enter(ledger.Entry{Day: d, Subject: ledger.Subject{Kind: "opening"}, Part: fmt.Sprint(i), Text: fmt.Sprint("sale ", i), Lines: e.Lines}); err != nil {
				return err
			}
		}
		return nil
	})
	bed.Read(t, s, func(tx studio.Tx) error {
		sums, err := tx.YearSums(2031)
		if err != nil {
			return err
		}
		got := map[string]int64{}
		for _, m := range sums {
			if m.Account == ledger.Sales {
				got[m.Month] += m.Amount.Minor
			}
		}
		bed.Same(t, "sales by month", map[string]int64{"": -100, "2031-01": -1600, "2031-12": -25600}, got)
		lines, err := tx.Trace(yearly.Query{Accounts: []string{ledger.Sales, ledger.Tax}, From: calendar.Date(2031, 1, 1), Until: calendar.Date(2031, 12, 31), Limit: 9})
		if err != nil {
			return err
		}
		var texts []string
		for _, x := range lines {
			texts = append(texts, fmt.Sprint(x.Text, " ", x.Account, " ", x.Mark, " ", x.Amount.Minor))
		}
		slices.Sort(texts)
		bed.Same(t, "traced", []string{"sale 1 sales " + o.Mark + " -1600", "sale 1 tax " + o.Mark + " -16", "sale 2 sales " + o.Mark + " -25600", "sale 2 tax " + o.Mark + " -256"}, texts)
		if lines, err = tx.Trace(yearly.Query{Late: true, Limit: 9}); err != nil || len(lines) > 0 {
			t.Errorf("late: %+v %v", lines, err)
		}
		if lines, err = tx.Trace(yearly.Query{Skip: 3, Limit: 2}); err != nil || len(lines) != 2 {
			t.Errorf("a page of two: %+v %v", lines, err)
		}
		pieces, err := tx.TaxPieces(calendar.Date(2031, 1, 1), calendar.Date(2031, 12, 31))
		bed.Same(t, "of a return", []tax.Piece{{
			Order: o.ID, Country: "US", Region: "OH", Buyer: o.Buyer, Placed: o.Placed,
			Goods: bed.USD(80 * 272), Postage: bed.USD(10 * 272), Tax: bed.USD(272), OutletTax: bed.USD(0),
		}}, pieces)
		return err
	})
}

// unsettled compares the store's answer with order.Order.Short, of orders of every state, paid nothing, in part, in whole and too much.
func unsettled(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 0)
	want := []int64{}
	for _, state := range []order.State{order.Open, order.Closed, order.Cancelled, order.Returned} {
		for _, byOutlet := range []bool{false, true} {
			for _, paid := range []int64{0, 500, 12345, 13345, 20000} {
				o := h.Sale(ed, ed)
				o.State, o.TaxByOutlet, o.Postage, o.Tax = state, byOutlet, bed.USD(345), bed.USD(1000)
				for i := range o.Lines {
					o.Lines[i].Price = bed.USD(6000)
				}
				o = bed.Add(t, s, o)
				bed.Write(t, s, func(tx studio.Tx) error {
					for _, p := range []order.Payment{{Kind: order.Deposit, Amount: bed.USD(paid + 50)}, {Kind: order.Refund, Amount: bed.USD(50)}, {Kind: order.Deposit, Amount: bed.USD(777)}} {
						p.Order, p.Day = o.ID, calendar.Date(2031, 3, 4)
						id, err := tx.AddPayment(p)
						if err != nil {
							return err
						}
						if p.Amount == money.Of(777, "USD") {
							if err := tx.ReversePayment(id); err != nil {
								return err
							}
						}
					}
					whole, err := tx.Order(o.ID)
					if state != order.Open && whole.Short().Sign() != 0 {
						want = append(want, o.ID)
					}
					return err
				})
			}
		}
	}
	if len(want) < 10 {
		t.Fatalf("only %d orders are unsettled: nothing was tested", len(want))
	}
	slices.Sort(want)
	bed.Read(t, s, func(tx studio.Tx) error {
		got, err := tx.Unsettled()
		bed.Same(t, "unsettled", want, got)
		return err
	})
}
