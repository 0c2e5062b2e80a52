// Package catalogue is works, editions and their numbers in a browser. Each exported method of Catalogue answers one
// route of package web.
package catalogue

import (
	"fmt"
	"net/http"
	"slices"
	"strconv"

	"solander/edition"
	"solander/fault"
	"solander/register"
	"solander/studio"
	"solander/web/form"
	"solander/web/page"
)

// Catalogue is the handlers of this room.
type Catalogue struct {
	*page.Kit
}

// EditionsPage lists works with their editions.
type EditionsPage struct {
	page.Frame
	Works []workView
	Parts []page.Part
}

// mostWorks is how many works stand on one page.
const mostWorks = 60

// workView is a work with its editions as the page shows them.
type workView struct {
	register.WorkView
	Rows []editionLine
}

// editionLine is one edition in a list.
type editionLine struct {
	studio.EditionRow
	Size string
	Of   string // "of 250 and 5 AP", "open edition"
	Left string
	Note string
}

func lineOf(e studio.EditionRow, size string) editionLine {
	l := editionLine{EditionRow: e, Size: size, Of: ofText(e.Edition), Left: "no limit"}
	if !e.Open() {
		l.Left = strconv.Itoa(e.Unsold)
	}
	switch {
	case e.Closed:
		l.Note = "closed"
	case !e.Open() && e.Unsold == 0:
		l.Note = "sold out"
	}
	return l
}

// Progress is how far the edition is sold, as a bar of 60; what is sold is seen, and so is what is left.
func (l editionLine) Progress() int {
	if l.Open() || l.Sold == 0 {
		return 0
	}
	full := max(1, 60*l.Sold/l.Limit)
	if l.Sold < l.Limit {
		full = min(full, 59)
	}
	return min(full, 60)
}

// ofText says how large an edition is: "250, 5 AP, 1 BAT".
func ofText(e edition.Edition) string {
	if e.Open() {
		return "open edition"
	}
	s := strconv.Itoa(e.Limit)
	for _, k := range edition.Kinds()[1:] {
		if n := e.Count(k); n > 0 {
			s += fmt.Sprintf(", %d %s", n, k)
		}
	}
	return s
}

func (f *Catalogue) Editions(w http.ResponseWriter, r *http.Request) error {
	fr, err := f.Frame(r, "editions", "Editions")
	if err != nil {
		return err
	}
	if err := f.HangAll(r, &fr); err != nil {
		return err
	}
	works, err := register.Works(r.Context(), f.Seen(r))
	if err != nil {
		return err
	}
	p := &EditionsPage{Frame: fr}
	from, until, parts, err := page.PartOf(r.URL.Query().Get("from"), len(works), mostWorks, func(row int) string { return fmt.Sprintf("/editions?from=%d", row) })
	if err != nil {
		return err
	}
	p.Parts = parts
	for _, wv := range works[from:until] {
		v := workView{WorkView: wv}
		for _, e := range wv.Editions {
			v.Rows = append(v.Rows, lineOf(e, e.Size(fr.Units)))
		}
		p.Works = append(p.Works, v)
	}
	return f.Show(w, r, http.StatusOK, "editions", p)
}

// priceSteps is how many steps the form offers beyond those there are.
const moreSteps = 2

func repriceForm(id int64, p *register.Prices) *form.Form {
	fm, cur := form.New("price", fmt.Sprintf("/editions/%d/price", id)), p.Price.Currency
	fm.Amount("price", "Price at first", &p.Price, cur).Must()
	fm.Amount("print_cost", "Cost of a sheet from the lab", &p.PrintCost, cur)
	askSteps(fm, &p.Steps, cur)
	return fm.Sealed()
}

// askSteps asks for the price steps; those that are filled in are taken.
func askSteps(fm *form.Form, steps *[]edition.PriceStep, cur string) {
	rows := append(slices.Clone(*steps), make([]edition.PriceStep, moreSteps)...)
	*steps = nil
	for i := range rows {
		from, price := fmt.Sprintf("from[%d]", i), fmt.Sprintf("price_steps[%d]", i)
		fm.When(func() bool { return fm.Typed(from, price) }, func() {
			fm.Whole(from, "Once so many are sold", &rows[i].FromSold).OrEmpty().Class = "first"
			fm.Amount(price, "the price is", &rows[i].Price, cur).OrEmpty().Half()
			fm.Then(func(l *fault.List) {
				l.Check(fm.Typed(price), price, "the price is missing", "give a price, or empty the threshold too")
				*steps = append(*steps, rows[i])
			})
		})
	}
}

func (f *Catalogue) Reprice(w http.ResponseWriter, r *http.Request, id int64) error {
	build := func(p *register.Prices) *form.Form { return repriceForm(id, p) }
	if err := register.Reprice(r.Context(), f.Studio, id, form.Changing(r, build)); err != nil {
		return f.ShowAgain(w, r, "price", err, f.Edition)
	}
	return f.DoneSaying(w, r, fmt.Sprintf("/editions/%d", id), "priced")
}

// endForm declares that an edition is closed, or cancelled.
func endForm(c *edition.Closing, sure *bool) *form.Form {
	name, label := "close", "Nothing more of it will be sold; it stays closed"
	if c.Fact == edition.Cancelled {
		name, label = "cancel", "Nothing more can be printed of it"
	}
	fm := form.New(name, fmt.Sprintf("/editions/%d/%s", c.Edition, name))
	fm.Text("files", "Plate and files", &c.Files).Must().Wide().WithHint("kept and locked, struck through, deleted")
	fm.Text("note", "Note", &c.Note).Wide()
	fm.Tick("sure", label, sure).Wide()
	fm.Then(func(l *fault.List) {
		l.Check(*sure, "sure", "what is declared of an edition is never taken back", "tick the box to say that you mean it")
	})
	return fm
}

func (f *Catalogue) CloseEdition(w http.ResponseWriter, r *http.Request, id int64) error {
	return f.end(w, r, edition.Closing{Edition: id, Fact: edition.Closed})
}

func (f *Catalogue) CancelEdition(w http.ResponseWriter, r *http.Request, id int64) error {
	return f.end(w, r, edition.Closing{Edition: id, Fact: edition.Cancelled})
}

func (f *Catalogue) end(w http.ResponseWriter, r *http.Request, c edition.Closing) error {
	fm := endForm(&c, new(bool))
	err := fm.TakeAnd(r.PostForm, func() error {
		_, err := register.Close(r.Context(), f.Studio, c)
		return err
	})
	if err != nil {
		return f.ShowAgain(w, r, fm.Name, err, f.Edition)
	}
	return f.DoneSaying(w, r, fmt.Sprintf("/editions/%d", c.Edition), "closed")
}

func aheadForm(e edition.Edition, ns *[]edition.Number) *form.Form {
	fm := form.New("ahead", fmt.Sprintf("/editions/%d/sign", e.ID))
	fm.Ask("numbers", "Numbers").WithHint("for example 12, 15-20, AP 1").Wide().Must()
	fm.Then(func(l *fault.List) {
		var err error
		*ns, err = edition.ParseNumbers("numbers", fm.Find("numbers").Value, e)
		l.Add(err)
	})
	return fm
}

func (f *Catalogue) SignAhead(w http.ResponseWriter, r *http.Request, id int64) error {
	e, err := register.DeclaredEdition(r.Context(), f.Seen(r), id)
	if err != nil {
		return err
	}
	var ns []edition.Number
	err = aheadForm(e, &ns).TakeAnd(r.PostForm, func() error { return register.SignAhead(r.Context(), f.Studio, id, ns) })
	if err != nil {
		return f.ShowAgain(w, r, "ahead", err, f.Edition)
	}
	return f.Done(w, r, fmt.Sprintf("/editions/%d", id))
}
