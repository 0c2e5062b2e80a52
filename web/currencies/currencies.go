// Package currencies is rates of exchange in a browser: listed, entered, loaded from a central bank's file after a trial; and a payment that came
// in another currency. Each exported method of Currencies answers one route of package web.
package currencies

import (
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"solander/book"
	"solander/calendar"
	"solander/currencies"
	"solander/exchange"
	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/web/form"
	"solander/web/page"
)

// Currencies is the handlers of this room.
type Currencies struct{ *page.Kit }

const here = "/earnings/currencies"

// mostShown are how many rates stand on the page.
const mostShown = 200

// Page is the rates of the last days, and what may be done with them.
type Page struct {
	page.Frame
	Rates []exchange.Rate
	On    calendar.Day // up to which they are of; no day: today
	More  int          // that are not shown
	Trial *currencies.Loaded
	Enter *form.Form
	File  *form.Form
	Take  *form.Form
	Agree *form.Form
	Gains currencies.Gains
}

func rateForm(r *exchange.Rate) *form.Form {
	fm := form.New("rate", here)
	fm.Text("base", "One of", &r.Base).Must().Small().WithHint("like EUR")
	fm.Text("rate", "Is", &r.Rate).Must().Small().WithHint("like 1.0804")
	fm.Text("quote", "Of", &r.Quote).Must().Small().WithHint("like USD")
	fm.Day("day", "Day", &r.Day).Small()
	fm.Text("source", "Where it is from", &r.Source).Wide()
	fm.Then(func(*fault.List) {
		r.Base, r.Quote = strings.ToUpper(strings.TrimSpace(r.Base)), strings.ToUpper(strings.TrimSpace(r.Quote))
	})
	return fm
}

func fileForm(trial *bool) *form.Form {
	fm := form.New("file", here+"/load")
	fm.Ask("file", "A file of euro reference rates (.csv or .xml)").As("file").WithHint("all of them are kept, or none").Half()
	fm.Tick("trial", "Only say what it would change", trial)
	return fm
}

// takeIn is what the form of a payment asks for.
type takeIn struct {
	Order, Amount, Currency, Worth string
	Day                            calendar.Day
	Refund                         bool
}

// agreeIn is what the form of an agreement asks for.
type agreeIn struct {
	Order, Currency, Total string
	Seen                   string // the mark of the order, and which agreement stood when the form was sent: "S-1042 3"
	End                    bool
}

// seen is which agreement stood of the order that is named, when the form was made for it.
func (in agreeIn) seen(mark string) *int64 {
	id, err := strconv.ParseInt(strings.TrimPrefix(in.Seen, mark+" "), 10, 64)
	if err != nil {
		return nil
	}
	return &id
}

func agreeForm(in *agreeIn) *form.Form {
	fm := form.New("agree", here+"/agree")
	fm.Text("order", "Mark of the order", &in.Order).Must().Small()
	fm.Text("currency", "Currency", &in.Currency).Small().WithHint("like EUR")
	fm.Text("total", "What it comes to", &in.Total).Small().WithHint("by today's rate when left empty")
	fm.Text("seen", "", &in.Seen).As("hidden")
	fm.Tick("end", "It is owed in the book's currency again", &in.End)
	return fm
}

func takeForm(in *takeIn) *form.Form {
	fm := form.New("take", here+"/take")
	fm.Text("order", "Mark of the order", &in.Order).Must().Small()
	fm.Text("amount", "Amount that came", &in.Amount).Must().Small()
	fm.Text("currency", "Currency", &in.Currency).Must().Small().WithHint("like EUR")
	fm.Text("worth", "What the bank made of it", &in.Worth).Small().WithHint("by the day's rate when left empty")
	fm.Day("day", "Day", &in.Day).Small()
	fm.Tick("refund", "It was paid back", &in.Refund)
	return fm
}

// Show shows the rates.
func (f *Currencies) Show(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	return f.show(w, r, fail, nil)
}

func (f *Currencies) show(w http.ResponseWriter, r *http.Request, fail *page.Failure, trial *currencies.Loaded) error {
	fr, err := f.Frame(r, "earnings", "Currencies")
	if err != nil {
		return err
	}
	p := &Page{Frame: fr, Trial: trial}
	p.Tell(fail)
	if p.On, err = page.QueryDay(r); err != nil {
		return err
	}
	all, err := currencies.List(r.Context(), f.Seen(r), calendar.Day{}, p.On)
	if err != nil {
		return err
	}
	p.Rates = all[:min(len(all), mostShown)]
	p.More = len(all) - len(p.Rates)
	if p.Gains, err = currencies.Realised(r.Context(), f.Seen(r)); err != nil {
		return err
	}
	agree := agreeIn{Order: r.URL.Query().Get("order")}
	if agree.Seen, err = f.standing(r, agree.Order); err != nil {
		return err
	}
	p.Agree = p.Put(agreeForm(&agree), fail)
	first := trial == nil
	p.Enter = p.Put(rateForm(&exchange.Rate{Day: fr.Today}), fail)
	p.File = p.Put(fileForm(&first), fail)
	p.Take = p.Put(takeForm(&takeIn{Day: fr.Today, Order: r.URL.Query().Get("order")}), fail)
	return f.Kit.Show(w, r, page.StatusOf(fail), "currencies", p)
}

// standing says which agreement stands of the order that a page names, as the form keeps it; "" of none such.
func (f *Currencies) standing(r *http.Request, mark string) (string, error) {
	if mark == "" {
		return "", nil
	}
	o, err := book.OrderByMark(r.Context(), f.Seen(r), mark)
	if fault.Is(err, fault.Missing) {
		return "", nil
	}
	if err != nil {
		return "", err
	}
	st, err := currencies.Of(r.Context(), f.Seen(r), o.ID)
	return fmt.Sprint(o.Mark, " ", st.Agreed.ID), err
}

// Enter keeps a rate.
func (f *Currencies) Enter(w http.ResponseWriter, r *http.Request) error {
	var in exchange.Rate
	err := rateForm(&in).TakeAnd(r.PostForm, func() error {
		_, err := currencies.Enter(r.Context(), f.Studio, in)
		return err
	})
	if err != nil {
		return f.ShowAgain(w, r, "rate", err, f.Show)
	}
	return f.DoneSaying(w, r, here, "rate")
}

// Load tries a file of rates, or loads it.
func (f *Currencies) Load(w http.ResponseWriter, r *http.Request) error {
	data, err := page.FileOf(r, "file", 16<<20)
	var trial bool
	if err == nil {
		err = fileForm(&trial).Take(r.PostForm)
	}
	load := currencies.Load
	if trial {
		load = currencies.Try
	}
	var l currencies.Loaded
	if err == nil {
		l, err = load(r.Context(), f.Studio, "rates.csv", data)
	}
	if err != nil {
		return f.ShowAgain(w, r, "file", err, f.Show)
	}
	if trial {
		return f.Visit(w, r, func(w http.ResponseWriter, r *http.Request) error { return f.show(w, r, nil, &l) })
	}
	return f.DoneSaying(w, r, here, "rates")
}

// Take notes a payment that came in another currency, and leads to its order.
func (f *Currencies) Take(w http.ResponseWriter, r *http.Request) error {
	var in takeIn
	err := takeForm(&in).TakeAnd(r.PostForm, func() error {
		a, err := money.Parse(in.Amount, strings.ToUpper(strings.TrimSpace(in.Currency)))
		if err != nil {
			return fault.All(err)[0].In("amount")
		}
		o, err := book.OrderByMark(r.Context(), f.Studio, strings.TrimSpace(in.Order))
		if err != nil {
			return fault.All(err)[0].In("order")
		}
		in.Order = o.Mark
		take := book.PaymentIn{Order: o.ID, Amount: a, Day: in.Day}
		if in.Refund {
			take.Kind = order.Refund
		}
		if take.Worth, err = perhaps(in.Worth, o.Postage.Currency, "worth"); err != nil {
			return err
		}
		_, err = book.TakeAbroad(r.Context(), f.Studio, take)
		return err
	})
	if err != nil {
		return f.ShowAgain(w, r, "take", err, f.Show)
	}
	return f.Done(w, r, "/orders/"+in.Order)
}

// perhaps is an amount when one is given.
func perhaps(text, currency, field string) (*money.Amount, error) {
	if strings.TrimSpace(text) == "" {
		return nil, nil
	}
	a, err := money.Parse(text, currency)
	return &a, fault.InField(err, field)
}

// Agree keeps that an order is owed in another currency, or no more, and leads to it.
func (f *Currencies) Agree(w http.ResponseWriter, r *http.Request) error {
	var in agreeIn
	err := agreeForm(&in).TakeAnd(r.PostForm, func() error {
		o, err := book.OrderByMark(r.Context(), f.Studio, strings.TrimSpace(in.Order))
		if err != nil {
			return fault.All(err)[0].In("order")
		}
		in.Order = o.Mark
		if in.End {
			return currencies.Part(r.Context(), f.Studio, o.ID, in.seen(o.Mark))
		}
		agree := currencies.AgreeIn{Order: o.ID, Seen: in.seen(o.Mark), Currency: strings.ToUpper(strings.TrimSpace(in.Currency))}
		if agree.Total, err = perhaps(in.Total, agree.Currency, "total"); err != nil {
			return err
		}
		_, err = currencies.Agree(r.Context(), f.Studio, agree)
		return err
	})
	if err != nil {
		return f.ShowAgain(w, r, "agree", err, f.Show)
	}
	return f.Done(w, r, "/orders/"+in.Order)
}

// GainsCSV sends the payments in other currencies as a table.
func (f *Currencies) GainsCSV(w http.ResponseWriter, r *http.Request) error {
	g, err := currencies.Realised(r.Context(), f.Seen(r))
	if err != nil {
		return err
	}
	return page.After(w, r, func(w http.ResponseWriter) error {
		w.Header().Set("Content-Type", "text/csv; charset=utf-8")
		w.Header().Set("Content-Disposition", `attachment; filename="gains.csv"`)
		return currencies.WriteCSV(w, g)
	})
}
