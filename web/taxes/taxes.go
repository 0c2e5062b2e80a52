// Package taxes is taxes on sales, in a browser: rates that were entered or loaded, resale certificates, what they say of an order. Each
// exported method of Taxes answers one route of package web.
package taxes

import (
	"net/http"
	"strings"

	"solander/buyers"
	"solander/calendar"
	"solander/fault"
	"solander/studio"
	"solander/tax"
	"solander/taxing"
	"solander/web/form"
	"solander/web/page"
)

// Taxes is the handlers of this room.
type Taxes struct {
	*page.Kit
	kept page.Kept[taxing.ReturnIn] // what returns came to
}

// Page is the rates and the certificates.
type Page struct {
	page.Frame
	Rates   []rateLine
	Resales []resaleLine
	Enter   *form.Form
	File    *form.Form
	Resale  *form.Form
}

type rateLine struct {
	tax.Rate
	Place string
}

type resaleLine struct {
	taxing.Resale
	Place string
	Ended bool
}

const at = "/earnings/tax-rates"

func rateForm(r *tax.Rate) *form.Form {
	fm := form.New("rate", at)
	fm.Text("country", "Country", &r.Country).Small().Must()
	fm.Text("region", "State", &r.Region).Small().WithHint("empty: the whole country")
	fm.Bind("rate", "Rate in per cent", shown(r.Rate), func(typed string) (err error) {
		r.Rate, err = tax.ParsePerCent(typed)
		return err
	}).Small().Must().WithMode("decimal").WithHint("0 where there is no tax")
	fm.Day("from", "From", &r.From).Small().Must()
	fm.Text("name", "Called", &r.Name).Half().WithHint("on papers; empty: Tax")
	fm.Text("source", "Where you have it from", &r.Source).Half()
	fm.Tick("inside", "Prices hold it already", &r.Inside).Half().WithHint("else it is added to them")
	fm.Tick("postage", "Postage is taxed, too", &r.Postage).Half()
	return fm
}

func shown(rate int64) string {
	if rate == 0 {
		return ""
	}
	return strings.TrimSuffix(tax.Rate{Rate: rate}.PerCent(), " %")
}

func fileForm() *form.Form {
	fm := form.New("file", at+"/load")
	fm.Ask("file", "A file of rates (.csv)").As("file").WithHint("all of them are kept, or none").Half()
	return fm
}

// resaleIn is what the form of a certificate asks for.
type resaleIn struct {
	tax.Certificate
	buyer string
}

func resaleForm(in *resaleIn) *form.Form {
	fm := form.New("resale", at+"/resale")
	fm.Text("buyer", "Buyer", &in.buyer).Half().Must().WithHint("the name or e-mail address")
	fm.Text("number", "Number of the certificate", &in.Number).Half().Must()
	fm.Text("country", "Country", &in.Country).Small().Must()
	fm.Text("region", "State", &in.Region).Small().WithHint("empty: the whole country")
	fm.Day("from", "From", &in.From).Small().Must()
	fm.Day("until", "Last day", &in.Until).Small().WithHint("empty: no end")
	return fm
}

// Show is the page.
func (f *Taxes) Show(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	fr, err := f.Frame(r, "earnings", "Rates of tax")
	if err != nil {
		return err
	}
	rates, err := taxing.Rates(r.Context(), f.Seen(r))
	if err != nil {
		return err
	}
	resales, err := taxing.Resales(r.Context(), f.Seen(r), 0)
	if err != nil {
		return err
	}
	p := &Page{Frame: fr}
	p.Tell(fail)
	for _, x := range rates {
		p.Rates = append(p.Rates, rateLine{x, tax.PlaceName(x.Country, x.Region)})
	}
	for _, x := range resales {
		p.Resales = append(p.Resales, resaleLine{x, tax.PlaceName(x.Country, x.Region), !x.Until.IsZero() && x.Until.Before(fr.Today)})
	}
	p.Enter = p.Put(rateForm(&tax.Rate{From: fr.Today}), fail)
	p.File = p.Put(fileForm(), fail)
	p.Resale = p.Put(resaleForm(&resaleIn{Certificate: tax.Certificate{From: fr.Today}}), fail)
	return f.Kit.Show(w, r, page.StatusOf(fail), "taxrates", p)
}

// Enter keeps a rate.
func (f *Taxes) Enter(w http.ResponseWriter, r *http.Request) error {
	in := tax.Rate{}
	err := rateForm(&in).TakeAnd(r.PostForm, func() error { return taxing.Enter(r.Context(), f.Studio, in) })
	if err != nil {
		return f.ShowAgain(w, r, "rate", err, f.Show)
	}
	return f.DoneSaying(w, r, at, "taxrate")
}

// Load loads a file of rates.
func (f *Taxes) Load(w http.ResponseWriter, r *http.Request) error {
	data, err := page.FileOf(r, "file", 4<<20)
	var rates []tax.Rate
	if err == nil {
		rates, err = tax.Read(data)
	}
	if err == nil {
		err = taxing.Enter(r.Context(), f.Studio, rates...)
	}
	if err != nil {
		return f.ShowAgain(w, r, "file", inFile(err), f.Show)
	}
	return f.DoneSaying(w, r, at, "taxrate")
}

// inFile puts every fault beside the field of the file.
func inFile(err error) error {
	var l fault.List
	for _, e := range fault.All(err) {
		l.Add(e.In("file"))
	}
	return l.Err()
}

// Drop takes a rate out.
func (f *Taxes) Drop(w http.ResponseWriter, r *http.Request, id int64) error {
	if err := taxing.Drop(r.Context(), f.Studio, id); err != nil {
		return f.ShowAgain(w, r, "", err, f.Show)
	}
	return f.DoneSaying(w, r, at, "taxrate-gone")
}

// AddResale keeps a certificate.
func (f *Taxes) AddResale(w http.ResponseWriter, r *http.Request) error {
	in := resaleIn{}
	err := resaleForm(&in).TakeAnd(r.PostForm, func() error {
		id, err := f.buyer(r, in.buyer)
		if err != nil {
			return err
		}
		in.Buyer = id
		_, err = taxing.AddResale(r.Context(), f.Studio, in.Certificate)
		return err
	})
	if err != nil {
		return f.ShowAgain(w, r, "resale", err, f.Show)
	}
	return f.DoneSaying(w, r, at, "resale")
}

// buyer finds the one buyer of a name or e-mail address.
func (f *Taxes) buyer(r *http.Request, name string) (int64, error) {
	list, err := buyers.Buyers(r.Context(), f.Studio, studio.BuyerQuery{Text: name, Limit: studio.MostPage})
	if err != nil {
		return 0, err
	}
	var found []int64
	for _, b := range list.Rows {
		if strings.EqualFold(b.Name, strings.TrimSpace(name)) || strings.EqualFold(b.Email, strings.TrimSpace(name)) {
			found = append(found, b.ID)
		}
	}
	switch {
	case len(found) == 1:
		return found[0], nil
	case len(found) == 0 && len(list.Rows) == 1:
		return list.Rows[0].ID, nil
	}
	return 0, fault.Invalidf("buyer", "%d buyers fit %.60q", max(len(found), len(list.Rows)), name).ToMend("write the whole name or the e-mail address of one")
}

// EndResale ends a certificate today.
func (f *Taxes) EndResale(w http.ResponseWriter, r *http.Request, id int64) error {
	if err := taxing.EndResale(r.Context(), f.Studio, id, calendar.Day{}); err != nil {
		return f.ShowAgain(w, r, "", err, f.Show)
	}
	return f.DoneSaying(w, r, at, "resale")
}
