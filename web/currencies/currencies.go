// Package currencies is rates of exchange in a browser: listed, entered, loaded from a central bank's file after a trial; and a payment that came
// in another currency. Each exported method of Currencies answers one route of package web.
package currencies

import (
	"net/http"
	"strings"

	"solander/book"
	"solander/calendar"
	"solander/currencies"
	"solander/exchange"
	"solander/fault"
	"solander/money"
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
	Order, Amount, Currency string
	Day                     calendar.Day
}

func takeForm(in *takeIn) *form.Form {
	fm := form.New("take", here+"/take")
	fm.Text("order", "Mark of the order", &in.Order).Must().Small()
	fm.Text("amount", "Amount that came", &in.Amount).Must().Small()
	fm.Text("currency", "Currency", &in.Currency).Must().Small().WithHint("like EUR")
	fm.Day("day", "Day", &in.Day).Small()
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
	first := trial == nil
	p.Enter = p.Put(rateForm(&exchange.Rate{Day: fr.Today}), fail)
	p.File = p.Put(fileForm(&first), fail)
	p.Take = p.Put(takeForm(&takeIn{Day: fr.Today}), fail)
	return f.Kit.Show(w, r, page.StatusOf(fail), "currencies", p)
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
		_, err = currencies.Take(r.Context(), f.Studio, o.ID, a, in.Day)
		return err
	})
	if err != nil {
		return f.ShowAgain(w, r, "take", err, f.Show)
	}
	return f.Done(w, r, "/orders/"+in.Order)
}
