package taxes

import (
	"net/http"

	"solander/fault"
	"solander/tax"
	"solander/taxing"
	"solander/web/form"
	"solander/web/page"
)

// ReturnPage is what a return asks for.
type ReturnPage struct {
	page.Frame
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
	fm := form.New("span", "/earnings/tax")
	fm.Day("from", "From", &in.From)
	fm.Day("until", "Until", &in.Until)
	p := &ReturnPage{Frame: fr}
	var fail *page.Failure
	if q := r.URL.Query(); q.Has("from") {
		if err := fm.TakeAnd(q, func() error { return in.Validate() }); err != nil {
			fail = &page.Failure{Form: fm.Name, Typed: q, Err: err}
			in = taxing.LastQuarter(fr.Today)
		}
	}
	if p.Return, err = taxing.Return(r.Context(), f.Seen(r), in); err != nil && !fault.Is(err, fault.Invalid) {
		return err
	}
	for _, x := range p.Return.Rows {
		p.Rows = append(p.Rows, returnLine{x.Place(), x})
	}
	p.Rows = append(p.Rows, returnLine{"In all", p.Return.All})
	p.Form = p.Put(fm, fail)
	return f.Kit.Show(w, r, page.StatusOf(fail), "taxreturn", p)
}
