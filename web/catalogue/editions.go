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
	"solander/stockroom"
	"solander/studio"
	"solander/supply"
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
}

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
	if e.Closed {
		l.Note = "closed"
	}
	return l
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
	works, err := register.Works(r.Context(), f.Seen(r))
	if err != nil {
		return err
	}
	p := &EditionsPage{Frame: fr}
	for _, wv := range works {
		v := workView{WorkView: wv}
		for _, e := range wv.Editions {
			v.Rows = append(v.Rows, lineOf(e, e.Size(fr.Units)))
		}
		p.Works = append(p.Works, v)
	}
	return f.Show(w, r, http.StatusOK, "editions", p)
}

// EditionPage is one edition with its picture.
type EditionPage struct {
	page.Frame
	Edition studio.EditionView
	Size    string
	Of      string
	Kinds   []kindPicture
	Counts  []stateCount
	Ranges  []rangeTab // when the edition is shown in parts
	Steps   []edition.PriceStep
	Moves   []supply.Move
	Reprice *form.Form
	Close   *form.Form
	Ahead   *form.Form
}

// kindPicture is the picture of one kind of impression.
type kindPicture struct {
	Head  string
	Cells []cell
}

// cell is one number in the picture.
type cell struct {
	Text  string // "17", "AP 2"
	State edition.State
	Word  string
	Link  string
	Full  string // "17/250, sent, Ada Quill"
}

// stateCount is how many numbers stand in a state.
type stateCount struct {
	State edition.State
	Word  string
	Count int
}

// rangeTab leads to a part of a large edition.
type rangeTab struct {
	To, Text string
	Here     bool
}

// mostCells is how many numbers are drawn on one page.
const mostCells = 1000

func (f *Catalogue) Edition(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	id, err := page.PathID(r, "edition")
	if err != nil {
		return err
	}
	v, err := register.Edition(r.Context(), f.Seen(r), id)
	if err != nil {
		return err
	}
	fr, err := f.Frame(r, "editions", v.Name(page.Units(r)))
	if err != nil {
		return err
	}
	p := &EditionPage{Frame: fr, Edition: v, Size: v.Size(fr.Units), Of: ofText(v.Edition), Steps: v.Steps}
	p.Tell(fail)
	from, err := partFrom(r, v.Limit)
	if err != nil {
		return err
	}
	p.picture(v, from)
	if p.Moves, err = stockroom.Moves(r.Context(), f.Seen(r), supply.Sheets, id); err != nil {
		return err
	}
	p.Moves = p.Moves[:min(len(p.Moves), 12)]
	p.Reprice = p.Put(repriceForm(id, &register.Prices{Price: v.Price, Steps: v.Steps, PrintCost: v.PrintCost}), fail)
	if !v.Closed {
		p.Close = closeForm(id, new(bool))
		p.Put(p.Close, fail)
		if !v.Open() {
			p.Ahead = aheadForm(v.Edition, new([]edition.Number))
			p.Put(p.Ahead, fail)
		}
	}
	return f.Show(w, r, page.StatusOf(fail), "edition", p)
}

// partFrom reads ?from=, the number that the part to draw holds; without it the first part.
func partFrom(r *http.Request, limit int) (int, error) {
	text := r.URL.Query().Get("from")
	if text == "" {
		return 1, nil
	}
	from, err := strconv.Atoi(text)
	if err != nil || from < 1 || from > limit {
		return 0, fault.Invalidf("from", "%.20q is no number of this edition", text).ToMend("choose a part above the picture")
	}
	return from, nil
}

// picture lays the numbers out by kind and counts their states.
func (p *EditionPage) picture(v studio.EditionView, from int) {
	for _, s := range edition.States() {
		if n := v.Counts[s]; n > 0 {
			p.Counts = append(p.Counts, stateCount{s, page.StateWords[s], n})
		}
	}
	if v.Limit > mostCells {
		for a := 1; a <= v.Limit; a += mostCells {
			b := min(a+mostCells-1, v.Limit)
			p.Ranges = append(p.Ranges, rangeTab{fmt.Sprintf("/editions/%d?from=%d", v.ID, a), fmt.Sprintf("%d to %d", a, b), from >= a && from <= b})
		}
		from = (from-1)/mostCells*mostCells + 1
	}
	cells := map[edition.Kind][]cell{}
	for _, n := range v.Numbers {
		if n.Number.Kind == edition.Numbered && v.Limit > mostCells && (n.Number.N < from || n.Number.N >= from+mostCells) {
			continue
		}
		cells[n.Number.Kind] = append(cells[n.Number.Kind], cellOf(v.Edition, n))
	}
	for _, k := range edition.Kinds() {
		if len(cells[k]) > 0 {
			p.Kinds = append(p.Kinds, kindPicture{kindHead(k), cells[k]})
		}
	}
}

func kindHead(k edition.Kind) string {
	return map[edition.Kind]string{edition.Numbered: "Numbers", edition.AP: "Artist's proofs", edition.PP: "Printer's proofs", edition.HC: "Hors commerce", edition.BAT: "Bon à tirer"}[k]
}

func cellOf(e edition.Edition, n studio.NumberRow) cell {
	c := cell{
		Text: n.Number.String(), State: n.Standing.State, Word: page.StateWords[n.Standing.State],
		Link: fmt.Sprintf("/editions/%d/numbers/%s", e.ID, page.NumberPath(n.Number)),
	}
	c.Full = n.Number.Of(e) + ", " + c.Word
	if n.Buyer != "" {
		c.Full += ", " + n.Buyer
	}
	return c
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

func closeForm(id int64, sure *bool) *form.Form {
	fm := form.New("close", fmt.Sprintf("/editions/%d/close", id))
	fm.Tick("sure", "Nothing more of it will be sold; it stays closed", sure).Wide()
	fm.Then(func(l *fault.List) {
		l.Check(*sure, "sure", "an edition once closed stays closed", "tick the box to say that you mean it")
	})
	return fm
}

func (f *Catalogue) CloseEdition(w http.ResponseWriter, r *http.Request, id int64) error {
	err := closeForm(id, new(bool)).TakeAnd(r.PostForm, func() error { return register.CloseEdition(r.Context(), f.Studio, id) })
	if err != nil {
		return f.ShowAgain(w, r, "close", err, f.Edition)
	}
	return f.DoneSaying(w, r, fmt.Sprintf("/editions/%d", id), "closed")
}

func aheadForm(e edition.Edition, ns *[]edition.Number) *form.Form {
	fm := form.New("ahead", fmt.Sprintf("/editions/%d/sign", e.ID))
	fm.Ask("numbers", "Numbers").WithHint("for example 12, 15-20, AP 1").Wide().Must()
	fm.Then(func(l *fault.List) {
		var err error
		*ns, err = numberList(fm.Find("numbers").Value, e)
		l.Add(err)
	})
	return fm
}

func (f *Catalogue) SignAhead(w http.ResponseWriter, r *http.Request, id int64) error {
	v, err := register.Edition(r.Context(), f.Seen(r), id)
	if err != nil {
		return err
	}
	var ns []edition.Number
	err = aheadForm(v.Edition, &ns).TakeAnd(r.PostForm, func() error { return register.SignAhead(r.Context(), f.Studio, id, ns) })
	if err != nil {
		return f.ShowAgain(w, r, "ahead", err, f.Edition)
	}
	return f.Done(w, r, fmt.Sprintf("/editions/%d", id))
}
