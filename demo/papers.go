package demo

import (
	"solander/billing"
	"solander/book"
	"solander/calendar"
	"solander/currencies"
	"solander/exchange"
	"solander/invoice"
	"solander/money"
	"solander/order"
	"solander/payouts"
	"solander/studio"
)

// papersSince is how many days before today she began to write invoices and receipts.
const papersSince = 150

// write writes the paper of a new order that goes with it: an invoice of what a gallery sold, a receipt of a deposit at a fair.
func (p *past) write(st *studio.Studio, id int64, outlet int, deposit bool) error {
	if p.day.Before(p.today.Add(-papersSince)) {
		return nil
	}
	in := billing.WriteIn{Order: id, Kind: invoice.Invoice}
	switch {
	case outlet == fairs && deposit:
		in.Kind = invoice.Receipt
	case outlet != tollgate:
		return nil
	}
	_, err := billing.Write(p.ctx, st, in)
	return err
}

// credit takes off the invoice of an order, if it has one, what was paid back of it; nothing: all.
func (p *past) credit(order int64, refund money.Amount, reason string) error {
	page, err := billing.List(p.ctx, p.studio, invoice.Query{Order: order, Kind: invoice.Invoice})
	if err != nil || len(page.Bills) == 0 {
		return err
	}
	_, err = billing.Correct(p.ctx, p.studio, billing.CorrectIn{Bill: page.Bills[0].ID, Amount: refund, Reason: reason})
	return err
}

// paidOut is a sum that an outlet paid on a day.
type paidOut struct {
	day      calendar.Day
	net      money.Amount
	by, note string
}

// daysOfPayout are the days of sales that the first payout of the book is of.
const daysOfPayout = 28

// payOut lets the outlet of the market pay out what it sold since it last did, and takes that apart.
func (p *past) payOut(st *studio.Studio) error {
	until := p.day.Add(-3)
	in, err := p.nextPayout(until)
	if err != nil || len(in.Orders) == 0 {
		return err
	}
	p.paidUntil = until
	_, err = payouts.Take(p.ctx, st, in)
	p.paidOut = append(p.paidOut, paidOut{p.day, in.Net, p.outlets[market].Name, "payout"})
	return err
}

// nextPayout is what the outlet of the market pays out of what it sold until a day and did not pay out before. It keeps a few cents more than its
// fees say.
func (p *past) nextPayout(until calendar.Day) (payouts.Payout, error) {
	in := payouts.Payout{Outlet: p.outlets[market].ID, Net: dollars(0)}
	if p.paidUntil.IsZero() {
		p.paidUntil = until.Add(-daysOfPayout)
	}
	for _, s := range p.sold {
		if s.outlet != market || s.placed.After(until) || !s.placed.After(p.paidUntil) {
			continue
		}
		o, err := p.t.Tx.Order(s.order)
		if err != nil {
			return in, err
		}
		if o.State == order.Cancelled || o.Paid().Sign() <= 0 {
			continue
		}
		in.Orders = append(in.Orders, o.ID)
		in.Net.Minor += o.Paid().Minor - o.Fee.Minor - 2
		for _, x := range o.Payments {
			in.Net.Minor -= x.Fee.Minor
		}
	}
	return in, nil
}

// ratesOfExchange are how many dollars one unit of another currency is, invented.
var ratesOfExchange = map[string]string{"CAD": "0.7312", "JPY": "0.006625"}

// paysIn notes that all that is owed of an order came in another currency: of one that was agreed in it, with what her bank made of it, which is more than
// it was agreed for; of any other by the rate of the day. One unit of it is worth less than a dollar, so that the amount comes out to the cent.
func (l *lately) paysIn(o studio.OrderView, other string) error {
	_, err := currencies.Enter(l.ctx, l.studio, exchange.Rate{
		Base: other, Quote: currency, Day: l.day, Rate: ratesOfExchange[other], Source: "Invented to look around: type your bank's",
	})
	if err != nil {
		return err
	}
	came, err := currencies.Convert(l.ctx, l.studio, o.Owed, other, l.day)
	if err != nil {
		return err
	}
	in := book.PaymentIn{Order: o.ID, Amount: came.To, Day: l.day}
	if other == agreedIn {
		if _, err := currencies.Agree(l.ctx, l.studio, currencies.AgreeIn{Order: o.ID, Currency: other, Day: l.day}); err != nil {
			return err
		}
		worth := o.Owed
		worth.Minor += 115
		in.Worth = &worth
	}
	_, err = book.TakeAbroad(l.ctx, l.studio, in)
	return err
}

// agreedIn is the currency in which one order was agreed.
const agreedIn = "CAD"
