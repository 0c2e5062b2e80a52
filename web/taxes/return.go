package taxes

import (
	"net/http"
	"net/url"

	"solander/fault"
	"solander/tax"
	"solander/taxing"
	"solander/web/form"
	"solander/web/page"
)

// ReturnPage is what a return asks for.
type ReturnPage struct {
	page.Frame
	CSV    string
	Return tax.Return
	Rows   []returnLine
	Form   *form.Form
}

// returnLine is a place, or all of them together.
type returnLine struct {
	Name string
	tax.Row
}

// Return is what a return asks for of some days; of the quarter that was over last, unless others are asked for.
func (f *Taxes) Return(w http.ResponseWriter, r *http.Request) error {
	fr, err := f.Frame(r, "earnings", "Tax to be told")
	if err != nil {
		return err
	}
	in := taxing.LastQuarter(fr.Today)
	fm := spanForm(&in)
	p := &ReturnPage{Frame: fr}
	var fail *page.Failure
	if q := r.URL.Query(); q.Has("from") {
		if err := fm.TakeAnd(q, func() error { return in.Validate() }); err != nil {
			fail = &page.Failure{Form: fm.Name, Typed: q, Err: err}
			in = taxing.LastQuarter(fr.Today)
		}
	}
	p.Return, err = page.Remembered(r.Context(), &f.kept, f.Seen(r), in, fr.Today, func() (tax.Return, error) { return taxing.Return(r.Context(), f.Seen(r), in) })
	if err != nil && !fault.Is(err, fault.Invalid) {
		return err
	}
	for _, x := range p.Return.Rows {
		p.Rows = append(p.Rows, returnLine{x.Place(), x})
	}
	p.CSV = "/earnings/tax.csv?" + url.Values{"from": {in.From.String()}, "until": {in.Until.String()}}.Encode()
	p.Rows = append(p.Rows, returnLine{"In all", p.Return.All})
	p.Form = p.Put(fm, fail)
	return f.Kit.Show(w, r, page.StatusOf(fail), "taxreturn", p)
}

func spanForm(in *taxing.ReturnIn) *form.Form {
	fm := form.New("span", "/earnings/tax")
	fm.Day("from", "From", &in.From)
	fm.Day("until", "Until", &in.Until)
	return fm
}

// ReturnCSV gives what a return asks for as a file.
func (f *Taxes) ReturnCSV(w http.ResponseWriter, r *http.Request) error {
	var in taxing.ReturnIn
	if err := spanForm(&in).Take(r.URL.Query()); err != nil {
		return err
	}
	v, err := taxing.Return(r.Context(), f.Seen(r), in)
	if err != nil {
		return err
	}
	return page.After(w, r, func(w http.ResponseWriter) error {
		w.Header().Set("Content-Type", "text/csv; charset=utf-8; header=present")
		w.Header().Set("Content-Disposition", `attachment; filename="tax.csv"`)
		return taxing.WriteCSV(w, v)
	})
}
