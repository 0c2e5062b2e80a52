// Package billing is use cases: receipts, invoices and credit notes, written, numbered and kept as they were given out. None is ever changed.
package billing

import (
	"context"
	"fmt"
	"slices"

	"solander/calendar"
	"solander/exchange"
	"solander/fault"
	"solander/invoice"
	"solander/money"
	"solander/order"
	"solander/papers"
	"solander/studio"
	"solander/taxing"
)

// Store is what this room asks of the store.
type Store interface {
	invoice.Store
	Order(id int64) (order.Order, error)
	AgreedOf(order int64) (exchange.Agreed, error)
	CameOf(orders ...int64) ([]exchange.Came, error)
}

// Desk is one transaction as this room sees it.
type Desk struct {
	*studio.Turn
	Store
}

// In returns a transaction as this room sees it.
func In(t *studio.Turn) *Desk { return &Desk{t, t.Tx} }

var write, read = studio.Doors(In)

// WriteIn is a receipt or an invoice to be written.
type WriteIn struct {
	Kind   invoice.Kind
	Order  int64
	Number int64        // 0: the next
	Day    calendar.Day // zero: today
}

// Validate looks at the input alone. Faults: Invalid.
func (in WriteIn) Validate() error {
	var l fault.List
	l.Check(in.Kind == invoice.Receipt || in.Kind == invoice.Invoice, "kind", fmt.Sprintf("%.20q is neither receipt nor invoice", string(in.Kind)), "use receipt or invoice; a credit note corrects one of them")
	l.Add(studio.Sane("day", in.Day))
	return l.Err()
}

// Write writes the receipt of the payments of an order that have none, or the invoice of an order, and gives it its number.
// Faults: Invalid, Missing, Taken when the number was given, Refused when there is nothing to write or an invoice stands already.
func Write(ctx context.Context, s *studio.Studio, in WriteIn) (b invoice.Bill, err error) {
	if err := in.Validate(); err != nil {
		return b, err
	}
	err = write(ctx, s, func(t *Desk) (err error) {
		b, err = t.write(in)
		return err
	})
	return b, err
}

func (t *Desk) write(in WriteIn) (invoice.Bill, error) {
	o, err := t.Order(in.Order)
	if err != nil {
		return invoice.Bill{}, err
	}
	sale, err := t.sale(o)
	if err != nil {
		return invoice.Bill{}, err
	}
	before, err := t.Bills(invoice.Query{Order: o.ID})
	if err != nil {
		return invoice.Bill{}, err
	}
	var b invoice.Bill
	if in.Kind == invoice.Receipt {
		b, err = sale.Receipt(receipted(before))
	} else if err = noneStands(before); err == nil {
		b, err = sale.Invoice()
	}
	if err != nil {
		return b, fault.Placed(err, o.Mark)
	}
	return t.give(b, in.Number, in.Day)
}

// receipted are the payments for which a receipt stands.
func receipted(bills []invoice.Bill) []int64 {
	var out []int64
	for _, b := range bills {
		if b.Kind != invoice.Receipt || b.Left(bills).Sign() <= 0 {
			continue
		}
		for _, p := range b.Body.Paid {
			out = append(out, p.Payment)
		}
	}
	return out
}

func noneStands(bills []invoice.Bill) error {
	for _, b := range bills {
		if b.Kind == invoice.Invoice && b.Left(bills).Sign() > 0 {
			return fault.New(fault.Refused, "invoice %s stands for it", b.Label()).ToMend("correct that one by a credit note; a second invoice would ask for the money twice")
		}
	}
	return nil
}

// give numbers a paper and keeps it.
func (t *Desk) give(b invoice.Bill, number int64, day calendar.Day) (invoice.Bill, error) {
	last, on, err := t.LastBill(b.Kind)
	if err != nil {
		return b, err
	}
	if b.Number, err = invoice.Next(b.Kind, last, number); err != nil {
		return b, err
	}
	if b.Day, err = t.NotFuture("day", day); err != nil {
		return b, err
	}
	if b.Day.Before(on) {
		return b, fault.New(fault.Refused, "%s is of %s: the next cannot be of an earlier day", b.Kind.Label(last), on).In("day").ToMend("leave the day out, or give one from %s on", on)
	}
	b.At, b.Who = t.Now, t.Who
	if b.ID, err = t.AddBill(b); err != nil {
		return b, err
	}
	return b, t.Note(b.Order, "%s %s over %s written", b.Kind.Words(), b.Label(), b.Total)
}

// sale is an order as papers of money are made of it.
func (t *Desk) sale(o order.Order) (invoice.Sale, error) {
	s := invoice.Sale{Order: o, From: t.from(), Terms: t.Set.Bills}
	outlet, err := t.OutletOf(o.Outlet)
	if err != nil {
		return s, err
	}
	buyer, err := t.BuyerOf(o.Buyer)
	if err != nil {
		return s, err
	}
	s.Outlet, s.To = outlet.Name, partyOf(buyer, o, t.Set.Address.Country)
	for _, l := range o.Live() {
		e, err := t.EditionOf(l.Edition)
		if err != nil {
			return s, err
		}
		s.Lines = append(s.Lines, invoice.Line{Text: studio.Named(l.Number.Of(e), e.Title), Facts: papers.Facts(e, papers.Head{Units: t.Set.Units}), Amount: l.Price})
	}
	if s.Taxes, s.Exempt, err = t.taxes(o); err != nil {
		return s, err
	}
	return t.abroad(s)
}

// abroad is a sale in the currency in which it is owed.
func (t *Desk) abroad(s invoice.Sale) (invoice.Sale, error) {
	a, err := t.AgreedOf(s.Order.ID)
	if err != nil || !a.Stands() {
		return s, err
	}
	came, err := t.CameOf(s.Order.ID)
	if err != nil {
		return s, err
	}
	w, _ := exchange.Of(s.Order, a, came)
	if err := w.Whole(s.Order); err != nil || s.Order.Due().Sign() <= 0 {
		return s, err
	}
	in := invoice.Agreed{Rate: invoice.Rate{Total: a.Total, Book: a.Book, Words: a.Rate, Day: a.Day}, Came: map[int64]money.Amount{}}
	for _, c := range w.Came {
		in.Came[c.Payment] = c.Amount
	}
	return s.In(in)
}

// taxes are the tax lines of a sale: what the order charges on top, under the name of its rate where that is what the rate says; or what the
// rate says is inside the prices. exempt is why there is none.
func (t *Desk) taxes(o order.Order) (lines []invoice.Tax, exempt string, err error) {
	a, err := taxing.In(t.Turn).Of(o)
	switch {
	case err != nil || o.TaxByOutlet:
		return nil, "", err
	case o.Tax.Sign() > 0:
		x := invoice.Tax{Text: "Tax", Base: o.Goods(), Amount: o.Tax}
		x.Base.Minor += o.Postage.Minor
		if added, known := a.Added(); known && added == o.Tax && a.Rate != nil {
			x.Text, x.Base = a.Rate.Name+" "+a.Rate.PerCent(), a.Base
		}
		return []invoice.Tax{x}, "", nil
	case a.Exempt != nil:
		return nil, "Bought for resale, certificate " + a.Exempt.Number, nil
	case a.Rate != nil && a.Rate.Inside && a.Tax.Sign() > 0:
		return []invoice.Tax{{Text: a.Rate.Name + " " + a.Rate.PerCent(), Base: a.Base, Amount: a.Tax, Inside: true}}, "", nil
	}
	return nil, "", nil
}

func (t *Desk) from() invoice.Party {
	return invoice.From(t.Set.Studio, t.Set.Address)
}

// partyOf is whom a paper is for: the buyer, at the address of the order when it is hers.
func partyOf(b order.Buyer, o order.Order, home string) invoice.Party {
	if o.ShipTo.Line1 == "" {
		return invoice.Party{Name: b.Name}
	}
	return invoice.PartyAt(b.Name, o.ShipTo, home)
}

// CorrectIn is a credit note to be written.
type CorrectIn struct {
	Bill   int64
	Amount money.Amount // nothing: all that is left of it
	Reason string
	Number int64
	Day    calendar.Day
}

// Validate looks at the input alone. Faults: Invalid.
func (in CorrectIn) Validate() error {
	var l fault.List
	l.Add(studio.ReasonGiven(in.Reason))
	l.Add(studio.Amount("amount", in.Amount))
	l.Add(studio.Sane("day", in.Day))
	return l.Err()
}

// Correct writes a credit note that takes an amount off a receipt or an invoice. No money moves by it. Faults: Invalid, Missing, Taken,
// Refused when it is more than is left of the paper.
func Correct(ctx context.Context, s *studio.Studio, in CorrectIn) (c invoice.Bill, err error) {
	if err := in.Validate(); err != nil {
		return c, err
	}
	err = write(ctx, s, func(t *Desk) (err error) {
		b, err := t.Bill(in.Bill)
		if err != nil {
			return err
		}
		amount := in.Amount
		switch {
		case amount.IsZero():
			amount = money.Of(0, b.Total.Currency)
		case amount.Currency != b.Total.Currency:
			return fault.Invalidf("amount", "it is in %.10q, the paper is in %s", amount.Currency, b.Total.Currency).At("%s", b.Label()).ToMend("give it in %s", b.Total.Currency)
		}
		notes, err := t.Bills(invoice.Query{Corrects: b.ID})
		if err != nil {
			return err
		}
		before := money.Of(b.Total.Minor-b.Left(notes).Minor, b.Total.Currency)
		if c, err = invoice.Correct(b, before, amount, in.Reason, t.from(), t.Set.Bills); err != nil {
			return err
		}
		c, err = t.give(c, in.Number, in.Day)
		return err
	})
	return c, err
}

// View is a paper with its credit notes and what is left of it.
type View struct {
	invoice.Bill
	Notes []invoice.Bill `json:"notes"` // the oldest first
	Left  money.Amount   `json:"left"`
}

// Numbered reads a paper by its label, such as I-12. Faults: Invalid, Missing.
func Numbered(ctx context.Context, s *studio.Studio, label string) (View, error) {
	k, n, err := invoice.Named(label)
	if err != nil {
		return View{}, err
	}
	return studio.Got(ctx, s, read, func(t *Desk) (View, error) {
		b, err := t.BillNumbered(k, n)
		if err != nil {
			return View{}, err
		}
		return t.view(b)
	})
}

func (t *Desk) view(b invoice.Bill) (View, error) {
	notes, err := t.Bills(invoice.Query{Corrects: b.ID})
	slices.Reverse(notes)
	if notes == nil {
		notes = []invoice.Bill{}
	}
	return View{b, notes, b.Left(notes)}, err
}

// Page is one page of a list of papers.
type Page struct {
	Bills []invoice.Bill `json:"bills"`
	Next  int64          `json:"next"` // invoice.Query.Before of the next page; 0 = no more
}

// List lists papers, newest first.
func List(ctx context.Context, s *studio.Studio, q invoice.Query) (Page, error) {
	if q.Limit <= 0 {
		q.Limit = studio.PageLimit
	}
	q.Limit = min(q.Limit, studio.MostPage)
	limit := q.Limit
	q.Limit++
	return studio.Got(ctx, s, read, func(t *Desk) (Page, error) {
		all, err := t.Bills(q)
		p := Page{Bills: append([]invoice.Bill{}, all...)}
		if len(all) > limit {
			p.Bills, p.Next = p.Bills[:limit], all[limit-1].ID
		}
		return p, err
	})
}

// Paper is a paper of money as it is printed. Faults: Missing.
func Paper(ctx context.Context, s *studio.Studio, id int64) (papers.Bill, error) {
	return studio.Got(ctx, s, read, func(t *Desk) (papers.Bill, error) {
		b, err := t.Bill(id)
		if err != nil {
			return papers.Bill{}, err
		}
		return papers.BillOf(papers.Head{Studio: b.Body.From.Name, Day: b.Day, Units: t.Set.Units}, b), nil
	})
}
