package ways

import (
	"cmp"
	"net/http"

	"solander/house"
	"solander/order"
	"solander/quote"
	"solander/register"
	"solander/studio"
	"solander/web/form"
	"solander/web/page"
)

// QuotePage asks what sending prints would cost, and answers.
type QuotePage struct {
	page.Frame
	Form   *form.Form
	Answer *quote.Answer
	Ways   *View
}

// Quote is the page of a quote. What is asked stands in its address, so that it can be kept and sent.
func (f *Ways) Quote(w http.ResponseWriter, r *http.Request) error {
	fr, err := f.Frame(r, "orders", "What would it cost to send?")
	if err != nil {
		return err
	}
	p := &QuotePage{Frame: fr}
	in := quote.In{Prints: 1}
	if p.Form, err = f.quoteForm(r, &in); err != nil {
		return err
	}
	typed := r.URL.Query()
	if len(typed) == 0 {
		return f.Show(w, r, http.StatusOK, "quote", p)
	}
	err = p.Form.Take(typed)
	var later studio.Later[quote.Answer]
	if err == nil {
		later, err = quote.Later(r.Context(), f.Seen(r), in)
	}
	return page.After(w, r, func(w http.ResponseWriter) error {
		var a quote.Answer
		if err == nil {
			a, err = later(r.Context())
		}
		if err == nil {
			p.Answer, p.Ways = &a, Of(a.Ways, "")
			return f.Show(w, r, http.StatusOK, "quote", p)
		}
		if page.Ours(err) {
			return err
		}
		fail := &page.Failure{Form: p.Form.Name, Typed: typed, Err: err}
		p.Put(p.Form, fail)
		return f.Show(w, r, page.StatusOf(fail), "quote", p)
	})
}

// quoteForm asks for a quote. Field names are those of the faults.
func (f *Ways) quoteForm(r *http.Request, in *quote.In) (*form.Form, error) {
	works, err := register.Works(r.Context(), f.Seen(r))
	if err != nil {
		return nil, err
	}
	outlets, err := house.Outlets(r.Context(), f.Seen(r))
	if err != nil {
		return nil, err
	}
	set := page.Settings(r)
	fm := form.New("quote", "/quote")
	fm.Text("size", "Size of a print", &in.Size).WithHint("such as 16 x 20; or choose an edition")
	editions := []form.Choice{form.Pick("", "by its size")}
	for _, x := range works {
		for _, e := range x.Editions {
			if !e.Closed {
				editions = append(editions, form.PickID(e.ID, e.Name(set.Units)))
			}
		}
	}
	fm.ID("edition", "Or an edition", &in.Edition, editions...).OrEmpty()
	fm.Whole("prints", "Prints", &in.Prints).Small()
	fm.Text("country", "Country", &in.Country).WithAuto("off").WithHint("empty: " + order.CountryName(cmp.Or(set.Address.Country, "US")))
	fm.Text("postcode", "Postcode", &in.Postcode).WithAuto("off")
	fm.AmountIf("worth", "Worth of one print", &in.Worth, set.Currency).WithHint("empty: its price")
	sold := []form.Choice{form.Pick("", "nowhere yet")}
	for _, u := range outlets {
		if !u.Closed {
			sold = append(sold, form.PickID(u.ID, u.Name))
		}
	}
	fm.ID("outlet", "Sold at", &in.Outlet, sold...).OrEmpty()
	return fm, nil
}
