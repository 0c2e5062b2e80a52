// Package invoice knows the papers of money: receipts, invoices and credit notes, and how they are numbered. Each kind has one series of whole
// numbers without gaps. A paper that was given out is never changed: what was wrong in it is corrected by a credit note. Amounts are never
// negative; a credit note takes its amount off. It is no legal or tax advice: what must stand on such a paper, local rules decide.
package invoice

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"solander/calendar"
	"solander/fault"
	"solander/money"
	"solander/order"
)

// Kind is a kind of paper.
type Kind string

// The kinds.
const (
	Receipt Kind = "receipt" // that money came in
	Invoice Kind = "invoice" // what a sale comes to
	Credit  Kind = "credit"  // takes off an invoice or a receipt, in whole or in part
)

// Kinds returns all kinds.
func Kinds() []Kind { return []Kind{Receipt, Invoice, Credit} }

// Words says the kind.
func (k Kind) Words() string {
	if k == Credit {
		return "credit note"
	}
	return string(k)
}

var letters = map[Kind]string{Receipt: "R", Invoice: "I", Credit: "C"}

// Label names a number of the series of a kind: "I-12".
func (k Kind) Label(number int64) string { return letters[k] + "-" + strconv.FormatInt(number, 10) }

// Named reads what Label writes; capitals do not count. Faults: Invalid.
func Named(label string) (Kind, int64, error) {
	letter, digits, _ := strings.Cut(strings.ToUpper(strings.TrimSpace(label)), "-")
	for _, k := range Kinds() {
		if n, err := strconv.ParseInt(digits, 10, 64); letters[k] == letter && err == nil && n > 0 && n <= MostNumber {
			return k, n, nil
		}
	}
	return "", 0, fault.Invalidf("bill", "%.30q names no receipt, invoice or credit note", label).ToMend("write it like I-12, R-3 or C-1")
}

// MostNumber is the greatest number of a series.
const MostNumber = 999_999_999

// Next returns the number that a paper gets, in a series whose last is last, 0 of none: the next, or the one that she typed when it is that.
// A series may begin at any number. Faults: Invalid; Taken when the number was given; Refused when it would leave a gap.
// Source: Council Directive 2006/112/EC, article 226 (2), from memory: "a sequential number, based on one or more series".
func Next(k Kind, last, typed int64) (int64, error) {
	switch {
	case typed < 0 || typed > MostNumber:
		return 0, fault.Invalidf("number", "%d is no number of a paper", typed).ToMend("use 1 to %d", MostNumber)
	case typed == 0 && last == MostNumber:
		return 0, fault.New(fault.Refused, "the series is full").In("number").ToMend("no number comes after %d", last)
	case typed == 0:
		return last + 1, nil
	case last == 0 || typed == last+1:
		return typed, nil
	case typed <= last:
		return 0, TakenNumber(k, typed).ToMend("the next is %d; leave the number out, and it is taken", last+1)
	}
	return 0, fault.New(fault.Refused, "%s would leave a gap in the series", k.Label(typed)).In("number").ToMend("the next is %d; leave the number out, and it is taken", last+1)
}

// TakenNumber says that a number was given already, or lies before the series.
func TakenNumber(k Kind, number int64) *fault.Error {
	return fault.New(fault.Taken, "the number %s was given already, or lies before the first of the series", k.Label(number)).In("number").ToMend("leave the number out, and the next is taken")
}

// Party is who stands on a paper, as it was given out.
type Party struct {
	Name  string   `json:"name"`
	Lines []string `json:"lines,omitempty"` // of the address, as on a label
}

// PartyAt is somebody at an address, seen from a country; the name stands once.
func PartyAt(name string, at order.Address, home string) Party {
	p := Party{Name: name, Lines: at.Block(home)}
	if len(p.Lines) > 0 && p.Lines[0] == name {
		p.Lines = p.Lines[1:]
	}
	return p
}

// From is the studio itself.
func From(studio string, at order.Address) Party { return PartyAt(studio, at, at.Country) }

// Line is what a paper is over.
type Line struct {
	Text   string       `json:"text"`
	Facts  string       `json:"facts,omitempty"`
	Amount money.Amount `json:"amount"`
}

// Tax is one tax line: so much tax on so much. Inside: the amounts of the lines hold it already; else it is added to them.
type Tax struct {
	Text   string        `json:"text"`
	Base   money.Amount  `json:"base"`
	Amount money.Amount  `json:"amount"`
	Inside bool          `json:"inside,omitempty"`
	Book   *money.Amount `json:"book,omitempty"` // the amount in the book's currency, when the paper is in another
}

// Paid is a payment that a paper tells.
type Paid struct {
	Payment int64        `json:"payment"`
	Day     calendar.Day `json:"day"`
	Text    string       `json:"text"`
	Amount  money.Amount `json:"amount"`
}

// Body is all that stands on a paper beside whom it is for.
type Body struct {
	Mark      string       `json:"mark"`
	Outlet    string       `json:"outlet,omitempty"`
	Ref       string       `json:"ref,omitempty"`
	Placed    calendar.Day `json:"placed"`
	From      Party        `json:"from"`
	TaxNumber string       `json:"tax_number,omitempty"` // of the studio
	Lines     []Line       `json:"lines"`
	Taxes     []Tax        `json:"taxes,omitempty"`
	ByOutlet  bool         `json:"tax_by_outlet,omitempty"` // the outlet collects the tax, if any
	Exempt    string       `json:"exempt,omitempty"`        // why there is no tax
	Paid      []Paid       `json:"paid,omitempty"`
	Owed      money.Amount `json:"owed"`               // after these; of a receipt, of the whole sale
	Corrects  string       `json:"corrects,omitempty"` // label of the paper that it takes off
	Reason    string       `json:"reason,omitempty"`
	Terms     string       `json:"terms,omitempty"` // in her words
	Rate      *Rate        `json:"rate,omitempty"`  // of amounts in another currency than the book's
}

// Bill is one paper of money. Net and Tax are its Total.
type Bill struct {
	ID       int64        `json:"id"`
	Kind     Kind         `json:"kind"`
	Number   int64        `json:"number"`
	Day      calendar.Day `json:"day"`
	Order    int64        `json:"order"`
	Corrects int64        `json:"corrects,omitempty"` // the paper that a credit note takes off
	Net      money.Amount `json:"net"`
	Tax      money.Amount `json:"tax"`
	Total    money.Amount `json:"total"`
	To       Party        `json:"to"`
	Body     Body         `json:"body"`
	At       time.Time    `json:"at"`
	Who      string       `json:"who"`
}

// Label names the paper: "I-12".
func (b Bill) Label() string { return b.Kind.Label(b.Number) }

// Query says which papers are wanted; zero fields do not restrict.
type Query struct {
	Kind     Kind
	Order    int64
	Corrects int64
	Before   int64 // those with a smaller id, for paging; newest first
	Limit    int
}

// Store keeps papers of money: they are only ever added.
type Store interface {
	// AddBill adds a paper. Faults: Taken when its number was given; Missing.
	AddBill(Bill) (int64, error)
	Bill(id int64) (Bill, error)
	BillNumbered(k Kind, number int64) (Bill, error)
	LastBill(k Kind) (number int64, day calendar.Day, err error) // 0: there is none
	Bills(q Query) ([]Bill, error)                               // newest first
}

// Terms are what of her own stands on papers of money.
type Terms struct {
	TaxNumber string `json:"tax_number,omitempty"` // under which she is registered for tax
	Words     string `json:"words,omitempty"`      // below each invoice: how and until when to pay
	Reminder  string `json:"reminder,omitempty"`   // of a reminder; "" = the usual words
}

// Validate looks at the terms alone. Faults: Invalid.
func (t Terms) Validate() error {
	var l fault.List
	l.Add(order.Text("tax_number", t.TaxNumber, 60, false))
	l.Add(order.Note("words", t.Words))
	l.Add(order.Note("reminder", t.Reminder))
	return l.Err()
}

// Left is what is left of a paper after its credit notes, which are among some.
func (b Bill) Left(some []Bill) money.Amount {
	left := b.Total
	for _, c := range some {
		if c.Corrects == b.ID {
			left.Minor -= c.Total.Minor
		}
	}
	return left
}

// CreditOf is what credit notes took off the last invoice of an order, whose papers these are, the oldest first. In the book's currency each counts
// so much of what was agreed as brings what is left to its share. Faults: Invalid for amounts that are too large.
func CreditOf(papers []Bill) (order.Credit, error) {
	var last Bill
	for _, b := range papers {
		if b.Kind == Invoice {
			last = b
		}
	}
	c := order.Credit{Left: last.Left(papers)}
	for _, n := range papers {
		if n.Corrects == last.ID && last.ID != 0 {
			c.Notes = append(c.Notes, order.CreditNote{Bill: n.ID, Label: n.Label(), Day: n.Day, Amount: n.Total})
		}
	}
	r := last.Body.Rate
	switch {
	case len(c.Notes) == 0:
		return order.Credit{}, nil
	case r == nil:
		return c, nil
	}
	in := order.Credit{As: &c, Left: r.Book}
	left := r.Total.Minor
	for _, n := range c.Notes {
		was := in.Left.Minor
		left -= n.Amount.Minor
		var err error
		if in.Left, err = r.Book.Share(left, r.Total.Minor); err != nil {
			return order.Credit{}, err
		}
		n.Amount = money.Of(was-in.Left.Minor, r.Book.Currency)
		in.Notes = append(in.Notes, n)
	}
	return in, nil
}

// sums sets net, tax and total of a paper by its lines and tax lines.
func (b Bill) sums() (Bill, error) {
	cur := b.Body.Owed.Currency
	b.Net, b.Tax, b.Total = money.Of(0, cur), money.Of(0, cur), money.Of(0, cur)
	var inside []money.Amount
	var err error
	for _, x := range b.Body.Taxes {
		if b.Tax, err = b.Tax.Add(x.Amount); err != nil {
			return b, err
		}
		if x.Inside {
			inside = append(inside, x.Amount)
		}
	}
	for _, l := range b.Body.Lines {
		if b.Net, err = b.Net.Add(l.Amount); err != nil {
			return b, err
		}
	}
	for _, x := range inside {
		if b.Net, err = b.Net.Sub(x); err != nil {
			return b, err
		}
	}
	b.Total, err = b.Net.Add(b.Tax)
	return b, err
}

// Sale is what an invoice or a receipt is made of. Lines are those that are still part of the order, in its order.
type Sale struct {
	Order  order.Order
	Lines  []Line
	Taxes  []Tax // of the whole sale; those that the outlet collects are none
	Exempt string
	Outlet string
	To     Party
	From   Party
	Terms  Terms
	Rate   *Rate // set by In
}

func (s Sale) begin(k Kind) Bill {
	o := s.Order
	return Bill{Kind: k, Order: o.ID, To: s.To, Body: Body{
		Mark: o.Mark, Outlet: s.Outlet, Ref: o.Ref, Placed: o.Placed, From: s.From, TaxNumber: s.Terms.TaxNumber, ByOutlet: o.TaxByOutlet,
		Exempt: s.Exempt, Owed: o.Owed(), Lines: []Line{}, Rate: s.Rate,
	}}
}

// Invoice makes the invoice of a sale: its prints, its postage, its tax, what was paid of it. Faults: Refused when nothing is due.
func (s Sale) Invoice() (Bill, error) {
	o := s.Order
	if o.Due().Sign() <= 0 {
		return Bill{}, fault.New(fault.Refused, "nothing is due of it").At("%s", o.Mark).ToMend("an invoice is made of a sale with something to pay")
	}
	o.Credit = order.Credit{} // of an invoice that it takes the place of
	s.Order = o
	b := s.begin(Invoice)
	b.Body.Lines = append(b.Body.Lines, s.Lines...)
	if o.Postage.Sign() > 0 {
		b.Body.Lines = append(b.Body.Lines, Line{Text: "Postage and packing", Amount: o.Postage})
	}
	b.Body.Taxes, b.Body.Terms = s.Taxes, s.Terms.Words
	given := order.GivenAmong(o.Given().Minor, o.Payments, order.Payment.InMinor)
	for i, p := range o.Payments {
		if !p.Reversed {
			b.Body.Paid = append(b.Body.Paid, paidOf(p, money.Of(given[i], p.Amount.Currency)))
		}
	}
	return b.sums()
}

// paidOf is a payment of which so much was paid back for good.
func paidOf(p order.Payment, given money.Amount) Paid {
	switch {
	case given.Sign() > 0 && given == p.Amount:
		return Paid{p.ID, p.Day, "paid back for good, not owed again", p.Amount.Neg()}
	case given.Sign() > 0:
		return Paid{p.ID, p.Day, "paid back, " + given.String() + " of it for good, not owed again", p.Amount.Neg()}
	case p.Kind == order.Refund:
		return Paid{p.ID, p.Day, "paid back", p.Amount.Neg()}
	}
	return Paid{p.ID, p.Day, p.Kind.Words(), p.Amount}
}

// Receipt makes the receipt of all payments that no receipt was given for; given are those that have one. Of the tax of the sale it holds
// the part that these payments bear: the parts of all payments are together the tax. Faults: Refused when there is no such payment.
func (s Sale) Receipt(given []int64) (Bill, error) {
	o := s.Order
	b := s.begin(Receipt)
	before, now := money.Of(0, o.Postage.Currency), money.Of(0, o.Postage.Currency)
	var err error
	for _, p := range o.Payments {
		if p.Reversed || p.Kind == order.Refund {
			continue
		}
		if slices.Contains(given, p.ID) {
			if before, err = before.Add(p.Amount); err != nil {
				return b, err
			}
			continue
		}
		if now, err = now.Add(p.Amount); err != nil {
			return b, err
		}
		b.Body.Paid = append(b.Body.Paid, Paid{p.ID, p.Day, p.Kind.Words(), p.Amount})
		b.Body.Lines = append(b.Body.Lines, Line{Text: paidFor(p), Facts: fmt.Sprintf("%s, for order %s", p.Day.Long(), o.Mark), Amount: p.Amount})
	}
	if len(b.Body.Lines) == 0 {
		return b, fault.New(fault.Refused, "no payment of it is without a receipt").At("%s", o.Mark).ToMend("record a payment first; a receipt is for money that came in")
	}
	b.Body.Taxes, err = parts(s.Taxes, before, now, o.Due())
	if err != nil {
		return b, err
	}
	return b.sums()
}

func paidFor(p order.Payment) string {
	if p.Kind == order.Deposit {
		return "Deposit"
	}
	return "Payment"
}

// parts are the taxes that a part of a whole bears, which follows on another part: inside its amount. What is taken part by part is together
// the taxes of the whole, to the minor unit.
func parts(taxes []Tax, before, part, whole money.Amount) ([]Tax, error) {
	if whole.Sign() <= 0 {
		return nil, nil
	}
	until, err := before.Add(part)
	if err != nil {
		return nil, err
	}
	until.Minor, before.Minor = min(until.Minor, whole.Minor), min(before.Minor, whole.Minor)
	var out []Tax
	for _, x := range taxes {
		p := Tax{Text: x.Text, Inside: true}
		if p.Amount, err = between(x.Amount, before, until, whole); err != nil {
			return nil, err
		}
		if p.Base, err = between(x.Base, before, until, whole); err != nil {
			return nil, err
		}
		if x.Book != nil {
			book, err := between(*x.Book, before, until, whole)
			if err != nil {
				return nil, err
			}
			p.Book = &book
		}
		out = append(out, p)
	}
	return out, nil
}

func between(of, before, until, whole money.Amount) (money.Amount, error) {
	a, err := of.Share(before.Minor, whole.Minor)
	if err != nil {
		return a, err
	}
	b, err := of.Share(until.Minor, whole.Minor)
	if err != nil {
		return b, err
	}
	return b.Sub(a)
}

// Correct makes the credit note that takes an amount off a paper, of which so much was taken off before; an amount of nothing is all that
// is left. Faults: Invalid; Refused when it is more than is left, or the paper is a credit note.
func Correct(b Bill, before, amount money.Amount, reason string, from Party, terms Terms) (Bill, error) {
	left, err := b.Total.Sub(before)
	switch {
	case err != nil:
		return Bill{}, err
	case b.Kind == Credit:
		return Bill{}, fault.New(fault.Refused, "a credit note is not corrected by another").At("%s", b.Label()).In("bill").ToMend("write a new invoice")
	case left.Sign() <= 0:
		return Bill{}, fault.New(fault.Refused, "all of it was taken off already").At("%s", b.Label()).In("amount").ToMend("look at its credit notes")
	case amount.IsZero():
		amount = left
	}
	if over, err := amount.Sub(left); err != nil || amount.Sign() < 0 || over.Sign() > 0 {
		return Bill{}, fault.New(fault.Refused, "%s is not between nothing and the %s that are left of it", amount, left).At("%s", b.Label()).In("amount").ToMend("take off %s at most", left).Because(err)
	}
	c := Bill{Kind: Credit, Order: b.Order, Corrects: b.ID, To: b.To, Body: Body{
		Mark: b.Body.Mark, Outlet: b.Body.Outlet, Ref: b.Body.Ref, Placed: b.Body.Placed, From: from, TaxNumber: terms.TaxNumber,
		ByOutlet: b.Body.ByOutlet, Exempt: b.Body.Exempt, Corrects: b.Label(), Reason: reason, Owed: money.Of(0, b.Total.Currency), Rate: b.Body.Rate,
		Lines: []Line{{Text: "Taken off " + b.Kind.Words() + " " + b.Label(), Facts: "of " + b.Day.Long(), Amount: amount}},
	}}
	if c.Body.Taxes, err = parts(b.Body.Taxes, before, amount, b.Total); err != nil {
		return Bill{}, err
	}
	return c.sums()
}
