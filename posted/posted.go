// Package posted knows what the book comes to in the journal: which events an order, a parcel, a run and the moves of a stock ought to have
// there, as they stand. Whoever keeps them enters the difference between that and what was entered, in the same transaction.
//
// It is pure: rows in, events out. docs/formats/journal.md says the same in words. Amounts are shared out by money.Shares.
package posted

import (
	"fmt"
	"slices"

	"solander/calendar"
	"solander/exchange"
	"solander/ledger"
	"solander/money"
	"solander/order"
)

// Book is an order with what its rows alone do not say.
type Book struct {
	order.Order
	Left map[int64]calendar.Day  // on which parcels left the house, by their ids
	Came map[int64]exchange.Came // how payments came in another currency, by their ids
}

// sold is a line whose print left the house, and came back perhaps.
type sold struct {
	order.Line
	on        calendar.Day
	back      bool
	parts     map[string]money.Amount // of what the order says once: postage, tax, fee
	refs      ledger.Refs
	recognise money.Amount // what the buyer is due to pay for it
}

// Order is what an order ought to have in the journal. A sale is made when its print leaves the house; what was paid until then is a deposit.
// Postage charged is shared among the prints by their number, tax and fee by their prices; each part is entered with its print.
func Order(b Book) []ledger.Event {
	var all []happened
	for _, s := range b.sold() {
		all = append(all, happened{day: s.on, rank: 0, id: s.ID, due: s.recognise.Minor, event: b.sale(s)})
		if s.back {
			all = append(all, happened{day: b.backOn(), rank: 1, id: s.ID, due: -s.recognise.Minor, event: b.back(s)})
		}
	}
	for _, p := range b.Payments {
		if !p.Reversed {
			all = append(all, b.payment(p))
		}
	}
	for _, n := range b.Credit.Notes {
		all = append(all, happened{day: n.Day, rank: 3, id: n.Bill, off: n.Amount.Minor, event: ledger.Event{
			Part: fmt.Sprintf("credit note %d", n.Bill), Day: n.Day, Text: b.Mark + ", credit note " + n.Label,
		}})
	}
	slices.SortStableFunc(all, happened.before)
	return b.settle(all)
}

// happened is an event on its way: it changes what is due, or what was paid.
type happened struct {
	day   calendar.Day
	rank  int
	id    int64
	due   int64 // minor units that became due
	paid  int64 // that were paid, or paid back
	off   int64 // that a credit note took off
	event ledger.Event
}

// before orders what happened by day, no day last; on one day sales come before payments.
func (a happened) before(b happened) int {
	switch {
	case a.day == b.day:
	case a.day.IsZero():
		return 1
	case b.day.IsZero() || a.day.Before(b.day):
		return -1
	default:
		return 1
	}
	if a.rank != b.rank {
		return a.rank - b.rank
	}
	return int(a.id - b.id)
}

// settle completes each event by what it changes of what the buyer owes, paid ahead, and is not asked for: of what is due and not paid,
// as much as was paid back, or taken off by credit notes, is owed no more.
func (b Book) settle(all []happened) []ledger.Event {
	refs := ledger.Refs{Order: b.ID, Outlet: b.Outlet}
	cur := b.currency()
	var due, paid, refunded, off int64
	credited := b.Credited().Minor
	var was [3]int64
	out := make([]ledger.Event, 0, len(all))
	for _, h := range all {
		due, paid, off = due+h.due, paid+h.paid, off+h.off
		if h.paid < 0 {
			refunded -= h.paid
		}
		short := max(0, due-paid)
		given := order.GivenOf(short, refunded, min(off, credited))
		is := [3]int64{short - given, min(0, due-paid), given}
		for i, account := range [3]string{ledger.Buyers, ledger.Deposits, ledger.Refunds} {
			h.event.Add(account, money.Of(is[i]-was[i], cur), refs)
		}
		if was = is; len(h.event.Lines) > 0 {
			out = append(out, h.event)
		}
	}
	return out
}

// currency is that in which the order is paid.
func (b Book) currency() string {
	for _, l := range b.Lines {
		if l.Price.Currency != "" {
			return l.Price.Currency
		}
	}
	for _, p := range b.Payments {
		return p.Amount.Currency
	}
	return b.Postage.Currency
}

func (b Book) payment(p order.Payment) happened {
	h := happened{day: p.Day, rank: 2, id: p.ID, paid: p.Amount.Minor}
	if p.Kind == order.Refund {
		h.paid = -h.paid
	}
	h.event = ledger.Event{Part: fmt.Sprintf("payment %d", p.ID), Day: p.Day, Text: b.Mark + ", " + p.Kind.Words()}
	refs := ledger.Refs{Order: b.ID, Outlet: b.Outlet}
	at := money.Of(h.paid, p.Amount.Currency)
	if c, ok := b.Came[p.ID]; ok { // what came is worth more or less than what it settled
		gain := c.Gain(p.Amount, p.Kind == order.Refund)
		at.Minor += gain.Minor
		h.event.Add(ledger.Exchange, gain.Neg(), refs)
	}
	h.event.Add(ledger.AtOutlets, at, refs)
	h.event.Move(ledger.PaymentFees, ledger.AtOutlets, p.Fee, refs)
	return h
}

// sold are the lines whose prints left the house, with their parts of postage, tax and fee.
func (b Book) sold() []*sold {
	var out []*sold
	var goods, fee []*sold // among whom postage and tax, and the fee, are shared
	for _, l := range b.Lines {
		s := &sold{Line: l, on: b.leftOn(l), back: l.Dropped || b.State == order.Returned, parts: map[string]money.Amount{}}
		s.refs = ledger.Refs{Order: b.ID, Line: l.ID, Edition: l.Edition, Outlet: b.Outlet}
		left := l.Sent || !l.Dropped && (b.State == order.Closed || b.State == order.Returned)
		if !l.Dropped && b.State != order.Cancelled {
			goods = append(goods, s)
		}
		if left || !l.Dropped && b.State != order.Cancelled {
			fee = append(fee, s)
		}
		if left {
			out = append(out, s)
		}
	}
	if b.State == order.Returned {
		goods = fee
	}
	share(goods, "postage", b.Postage, func(*sold) int64 { return 1 })
	share(goods, "tax", b.Tax, func(s *sold) int64 { return s.Price.Minor })
	share(fee, "fee", b.Fee, func(s *sold) int64 { return s.Price.Minor })
	for _, s := range out {
		s.recognise = money.Of(s.Price.Minor+s.parts["postage"].Minor, b.currency())
		if !b.TaxByOutlet {
			s.recognise.Minor += s.parts["tax"].Minor
		}
	}
	return out
}

func share(among []*sold, part string, whole money.Amount, weight func(*sold) int64) {
	if len(among) == 0 || whole.IsZero() {
		return
	}
	weights := make([]int64, len(among))
	for i, s := range among {
		weights[i] = max(0, weight(s))
	}
	for i, n := range money.Shares(whole.Minor, weights) {
		among[i].parts[part] = money.Of(n, whole.Currency)
	}
}

// leftOn is the day on which a print left the house: with its parcel, or when its order was closed; no day = not told.
func (b Book) leftOn(l order.Line) calendar.Day {
	if d := b.Left[l.Parcel]; !d.IsZero() {
		return d
	}
	if b.State == order.Closed {
		return b.Closed
	}
	if b.State == order.Returned {
		return b.Placed // a sale before the program knew of it: all that is known
	}
	return calendar.Day{}
}

// backOn is the day on which prints came back: known of a whole order.
func (b Book) backOn() calendar.Day {
	if b.State == order.Returned {
		return b.Closed
	}
	return calendar.Day{}
}

func (b Book) sale(s *sold) ledger.Event {
	e := ledger.Event{Part: fmt.Sprintf("sale %d", s.ID), Day: s.on, Text: b.Mark + ", a print sold"}
	e.Add(ledger.Sales, s.Price.Neg(), s.refs)
	e.Add(ledger.PostageCharged, s.parts["postage"].Neg(), s.refs)
	if tax := s.parts["tax"]; b.TaxByOutlet {
		e.Move(ledger.OutletTaxGone, ledger.OutletTax, tax, s.refs)
	} else {
		e.Add(ledger.Tax, tax.Neg(), s.refs)
	}
	e.Move(ledger.OutletFees, ledger.AtOutlets, s.parts["fee"], s.refs)
	return e
}

// back gives a sale back; the outlet keeps its fee, unless the order says another.
func (b Book) back(s *sold) ledger.Event {
	e := ledger.Event{Part: fmt.Sprintf("back %d", s.ID), Day: b.backOn(), Text: b.Mark + ", a print came back"}
	e.Add(ledger.Returns, money.Of(s.Price.Minor+s.parts["postage"].Minor, b.currency()), s.refs)
	if tax := s.parts["tax"]; b.TaxByOutlet {
		e.Move(ledger.OutletTax, ledger.OutletTaxGone, tax, s.refs)
	} else {
		e.Add(ledger.Tax, tax, s.refs)
	}
	return e
}
