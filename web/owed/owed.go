// Package owed is money owed and the papers of money, in a browser: what is owed by age, statements of buyers, receipts, invoices and credit
// notes. Each exported method of Owed answers one route of package web.
package owed

import (
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"solander/billing"
	"solander/book"
	"solander/currencies"
	"solander/dues"
	"solander/fault"
	"solander/house"
	"solander/invoice"
	"solander/mailing/server"
	"solander/order"
	"solander/owing"
	"solander/papers"
	"solander/studio"
	"solander/taxing"
	"solander/web/form"
	"solander/web/page"
)

// Owed is the handlers of this room.
type Owed struct {
	*page.Kit
	Mail server.File // of the mail server; without a path none can be named
}

// OwedPage is what is owed, by age.
type OwedPage struct {
	page.Frame
	Ageing owing.Ageing
}

// Show is what is owed today.
func (f *Owed) Show(w http.ResponseWriter, r *http.Request) error {
	fr, err := f.Frame(r, "earnings", "Money owed")
	if err != nil {
		return err
	}
	p := &OwedPage{Frame: fr}
	if p.Ageing, err = dues.Owed(r.Context(), f.Seen(r)); err != nil {
		return err
	}
	return f.Kit.Show(w, r, http.StatusOK, "owed", p)
}

// StatementPage is the statement of a buyer.
type StatementPage struct {
	page.Frame
	Statement dues.Statement
	Span      string
	Form      *form.Form
	Paper     string
}

func spanForm(in *dues.StatementIn) *form.Form {
	fm := form.New("span", fmt.Sprintf("/earnings/owed/%d", in.Buyer))
	fm.Day("from", "From", &in.From)
	fm.Day("until", "Until", &in.Until)
	return fm
}

// asked is the statement that a request is about, with its form, which is blamed where it is wrong.
func (f *Owed) asked(r *http.Request, buyer int64) (dues.Statement, *form.Form, error) {
	in := dues.StatementIn{Buyer: buyer}
	fm := spanForm(&in)
	if err := fm.Take(r.URL.Query()); err != nil {
		return dues.Statement{}, fm, err
	}
	v, err := dues.StatementOf(r.Context(), f.Seen(r), in)
	return v, fm, err
}

// Statement shows the statement of a buyer.
func (f *Owed) Statement(w http.ResponseWriter, r *http.Request) error {
	id, err := page.PathID(r, "buyer")
	if err != nil {
		return err
	}
	v, fm, err := f.asked(r, id)
	var fail *page.Failure
	if err != nil && fault.Is(err, fault.Invalid) {
		fail = &page.Failure{Form: fm.Name, Typed: r.URL.Query(), Err: err}
		bare := r.Clone(r.Context())
		bare.URL = &url.URL{Path: r.URL.Path}
		v, _, err = f.asked(bare, id)
	}
	if err != nil {
		return err
	}
	fr, err := f.Frame(r, "earnings", "Statement of "+v.Buyer.Name)
	if err != nil {
		return err
	}
	p := &StatementPage{Frame: fr, Statement: v, Span: papers.SpanOf(v.From, v.Until), Paper: fmt.Sprintf("/papers/statement/%d.pdf?%s", v.Buyer.ID, r.URL.RawQuery)}
	p.Form = p.Put(fm, fail)
	return f.Kit.Show(w, r, page.StatusOf(fail), "statement", p)
}

// named is what a file of a paper is of: "I-12" of "I-12.pdf".
func named(r *http.Request) (string, error) {
	name, isPDF := strings.CutSuffix(r.PathValue("file"), ".pdf")
	if !isPDF {
		return "", fault.New(fault.Missing, "there is no paper %.30q", r.PathValue("file")).ToMend("open it from the list of papers")
	}
	return name, nil
}

// StatementPDF prints the statement of a buyer.
func (f *Owed) StatementPDF(w http.ResponseWriter, r *http.Request) error {
	name, err := named(r)
	if err != nil {
		return err
	}
	id, err := strconv.ParseInt(name, 10, 64)
	if err != nil {
		return fault.New(fault.Missing, "there is no buyer %.30q", name).ToMend("open it from the list of papers")
	}
	v, _, err := f.asked(r, id)
	if err != nil {
		return err
	}
	return page.ServePaper(w, "statement", v.Paper(), nil)
}

// BillPDF prints a receipt, an invoice or a credit note.
func (f *Owed) BillPDF(w http.ResponseWriter, r *http.Request) error {
	name, err := named(r)
	if err != nil {
		return err
	}
	v, err := billing.Numbered(r.Context(), f.Seen(r), name)
	if err != nil {
		return err
	}
	p, err := billing.Paper(r.Context(), f.Seen(r), v.ID)
	return page.ServePaper(w, v.Label(), p, err)
}

// BillsPage lists the papers of money.
type BillsPage struct {
	page.Frame
	Rows  []invoice.Bill
	More  string
	Words *form.Form
	Mail  *form.Form
	Lost  string // why the mail server cannot be read
}

func wordsForm(set *studio.Settings) *form.Form {
	fm := form.New("words", "/earnings/papers")
	fm.Text("tax_number", "Your tax number", &set.Bills.TaxNumber).Half().WithHint("under which you are registered; empty: none")
	fm.Area("words", "Below each invoice", &set.Bills.Words).Wide().WithHint("how and until when to pay")
	fm.Area("reminder", "Words of a reminder", &set.Bills.Reminder).Wide().WithHint("empty: the usual ones; replaced are " + strings.Join(dues.Places, " "))
	return fm.Sealed()
}

// Bills lists the papers.
func (f *Owed) Bills(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	fr, err := f.Frame(r, "earnings", "Papers of money")
	if err != nil {
		return err
	}
	q := invoice.Query{}
	if before := r.URL.Query().Get("before"); before != "" {
		if q.Before, err = strconv.ParseInt(before, 10, 64); err != nil {
			return fault.Invalidf("before", "%.20q is no place in the list", before).ToMend("begin at its first page")
		}
	}
	list, err := billing.List(r.Context(), f.Seen(r), q)
	if err != nil {
		return err
	}
	p := &BillsPage{Frame: fr, Rows: list.Bills}
	if list.Next != 0 {
		p.More = fmt.Sprintf("/earnings/papers?before=%d", list.Next)
	}
	set := page.Settings(r)
	p.Words = p.Put(wordsForm(&set), fail)
	is, _, err := f.Mail.Read()
	if err != nil {
		p.Lost = err.Error()
	}
	if is.Lost() {
		p.Lost = "The password of the mail server is in cipher, and its key is not there: give it once more."
	}
	if p.Mail = p.Put(mailForm(&is), fail); p.Mail.Has() {
		p.Mail.Find("password").Is("") // it is never sent back
	}
	return f.Kit.Show(w, r, page.StatusOf(fail), "bills", p)
}

// SaveWords keeps what of her own stands on the papers.
func (f *Owed) SaveWords(w http.ResponseWriter, r *http.Request) error {
	if err := house.ChangeSettings(r.Context(), f.Studio, form.Changing(r, wordsForm)); err != nil {
		return f.ShowAgain(w, r, "words", err, f.Bills)
	}
	return f.DoneSaying(w, r, "/earnings/papers", "settings")
}

// BillPage is one paper.
type BillPage struct {
	page.Frame
	Bill   billing.View
	Paper  papers.Bill
	Credit *form.Form
}

func creditForm(in *billing.CorrectIn, v billing.View) *form.Form {
	fm := form.New("credit", "/earnings/papers/"+v.Label())
	fm.Amount("amount", "Take off", &in.Amount, v.Total.Currency).OrEmpty().Half().WithHint("empty: all that is left, " + v.Left.String())
	fm.Text("reason", "Why", &in.Reason).Must().WithHint("it stands on the credit note")
	return fm
}

// Bill shows a paper.
func (f *Owed) Bill(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	v, err := billing.Numbered(r.Context(), f.Seen(r), r.PathValue("bill"))
	if err != nil {
		return noSuch(err)
	}
	paper, err := billing.Paper(r.Context(), f.Seen(r), v.ID)
	if err != nil {
		return err
	}
	fr, err := f.Frame(r, "earnings", paper.Name)
	if err != nil {
		return err
	}
	p := &BillPage{Frame: fr, Bill: v, Paper: paper}
	p.Tell(fail)
	if v.Kind != invoice.Credit && v.Left.Sign() > 0 {
		p.Credit = p.Put(creditForm(&billing.CorrectIn{}, v), fail)
	}
	return f.Kit.Show(w, r, page.StatusOf(fail), "bill", p)
}

// noSuch makes an address that names no paper one that is not there.
func noSuch(err error) error {
	if fault.Is(err, fault.Invalid) || fault.Is(err, fault.Missing) {
		return fault.New(fault.Missing, "there is no such receipt, invoice or credit note").ToMend("open it from the list of papers")
	}
	return err
}

// Correct writes a credit note.
func (f *Owed) Correct(w http.ResponseWriter, r *http.Request) error {
	v, err := billing.Numbered(r.Context(), f.Studio, r.PathValue("bill"))
	if err != nil {
		return noSuch(err)
	}
	in := billing.CorrectIn{Bill: v.ID}
	var c invoice.Bill
	err = creditForm(&in, v).TakeAnd(r.PostForm, func() (err error) {
		c, err = billing.Correct(r.Context(), f.Studio, in)
		return err
	})
	if err != nil {
		return f.ShowAgain(w, r, "credit", err, f.Bill)
	}
	return f.DoneSaying(w, r, "/earnings/papers/"+c.Label(), "bill")
}

// OrderBillsPage is the papers of an order, and the form that writes one.
type OrderBillsPage struct {
	page.Frame
	Mark   string
	Order  studio.OrderView
	Abroad currencies.Standing // how it stands in another currency
	Rows   []invoice.Bill
	Write  *form.Form
	Tax    string // what the rates say of it
	Other  bool   // the order bears another tax, and may bear that
	Sends  string // the mail server that would send a reminder; "" = none was named

	SendTo string // to whom it would
}

func writeForm(in *billing.WriteIn, mark string) *form.Form {
	fm := form.New("write", "/orders/"+mark+"/papers")
	form.Select(fm, "kind", "Write", &in.Kind, form.Pick(string(invoice.Invoice), "the invoice of the order"),
		form.Pick(string(invoice.Receipt), "a receipt of payments that have none")).Half()
	n := ""
	fm.Bind("number", "Number", n, func(typed string) (err error) {
		if in.Number = 0; strings.TrimSpace(typed) == "" {
			return nil
		}
		if in.Number, err = strconv.ParseInt(strings.TrimSpace(typed), 10, 64); err != nil {
			return fault.Invalidf("number", "%.20q is no whole number", typed).ToMend("leave it empty, and the next is taken")
		}
		return nil
	}).Small().WithMode("numeric").WithHint("empty: the next")
	fm.Day("day", "Day", &in.Day).Small().WithHint("empty: today")
	return fm
}

// orderOf reads the order that the address names, by id or by mark.
func orderOf(r *http.Request, st *studio.Studio) (studio.OrderView, error) {
	name := r.PathValue("order")
	if id, err := strconv.ParseInt(name, 10, 64); err == nil {
		return book.Order(r.Context(), st, id)
	}
	return book.OrderByMark(r.Context(), st, name)
}

// OrderBills shows the papers of an order.
func (f *Owed) OrderBills(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	o, err := orderOf(r, f.Seen(r))
	if err != nil {
		return err
	}
	fr, err := f.Frame(r, "earnings", "Papers of "+o.Mark)
	if err != nil {
		return err
	}
	list, err := billing.List(r.Context(), f.Seen(r), invoice.Query{Order: o.ID, Limit: studio.MostPage})
	if err != nil {
		return err
	}
	p := &OrderBillsPage{Frame: fr, Mark: o.Mark, Order: o, Rows: list.Bills}
	if p.Abroad, err = currencies.Of(r.Context(), f.Seen(r), o.ID); err != nil {
		return err
	}
	p.Tell(fail)
	a, err := taxing.OfOrder(r.Context(), f.Seen(r), o.ID)
	if err != nil {
		return err
	}
	if is, named, err := f.Mail.Read(); err == nil && named && o.Owed.Sign() > 0 {
		if m, err := dues.Remind(r.Context(), f.Seen(r), o.ID); err == nil {
			p.Sends, p.SendTo = is.Host, m.To
		}
	}
	added, known := a.Added()
	p.Tax, p.Other = form.Upper(a.Words()), known && added != o.Tax && o.State == order.Open
	p.Write = p.Put(writeForm(&billing.WriteIn{Kind: invoice.Invoice}, o.Mark), fail)
	return f.Kit.Show(w, r, page.StatusOf(fail), "orderbills", p)
}

// Charge lets an order bear the tax that the rates say.
func (f *Owed) Charge(w http.ResponseWriter, r *http.Request) error {
	o, err := orderOf(r, f.Studio)
	if err != nil {
		return err
	}
	if _, err := taxing.Charge(r.Context(), f.Studio, o.ID); err != nil {
		return f.ShowAgain(w, r, "", err, f.OrderBills)
	}
	return f.DoneSaying(w, r, "/orders/"+o.Mark+"/papers", "taxed")
}

// WriteBill writes a receipt or an invoice of an order.
func (f *Owed) WriteBill(w http.ResponseWriter, r *http.Request) error {
	o, err := orderOf(r, f.Studio)
	if err != nil {
		return err
	}
	in := billing.WriteIn{Order: o.ID}
	var b invoice.Bill
	err = writeForm(&in, o.Mark).TakeAnd(r.PostForm, func() (err error) {
		b, err = billing.Write(r.Context(), f.Studio, in)
		return err
	})
	if err != nil {
		return f.ShowAgain(w, r, "write", err, f.OrderBills)
	}
	return f.DoneSaying(w, r, "/earnings/papers/"+b.Label(), "bill")
}
