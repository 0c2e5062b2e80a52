package web

import (
	"fmt"
	"net/http"
	"strconv"

	"solander/edition"
	"solander/fault"
	"solander/money"
	"solander/studio"
	"solander/supply"
)

// editionsPage lists works with their editions.
type editionsPage struct {
	frame
	Works []workView
}

// workView is a work with its editions as the page shows them.
type workView struct {
	studio.WorkView
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

func (f *face) editions(w http.ResponseWriter, r *http.Request) error {
	fr, err := f.frame(r, "editions", "Editions")
	if err != nil {
		return err
	}
	works, err := f.studio.Works(r.Context())
	if err != nil {
		return err
	}
	p := &editionsPage{frame: fr}
	for _, wv := range works {
		v := workView{WorkView: wv}
		for _, e := range wv.Editions {
			v.Rows = append(v.Rows, lineOf(e, e.Size(fr.Units)))
		}
		p.Works = append(p.Works, v)
	}
	return f.show(w, r, http.StatusOK, "editions", p)
}

// editionPage is one edition with its picture.
type editionPage struct {
	frame
	Edition studio.EditionView
	Size    string
	Of      string
	Kinds   []kindPicture
	Counts  []stateCount
	Ranges  []rangeTab // when the edition is shown in parts
	Steps   []edition.PriceStep
	Moves   []supply.Move
	Reprice *form
	Close   *form
	Ahead   *form
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

func (f *face) edition(w http.ResponseWriter, r *http.Request) error {
	return f.showEdition(w, r, nil)
}

func (f *face) showEdition(w http.ResponseWriter, r *http.Request, fail *failure) error {
	id, err := pathID(r, "edition")
	if err != nil {
		return err
	}
	v, err := f.studio.Edition(r.Context(), id)
	if err != nil {
		return err
	}
	fr, err := f.frame(r, "editions", v.Name(f.units(r)))
	if err != nil {
		return err
	}
	p := &editionPage{frame: fr, Edition: v, Size: v.Size(fr.Units), Of: ofText(v.Edition), Steps: v.Steps}
	p.tell(fail)
	from, err := partFrom(r, v.Limit)
	if err != nil {
		return err
	}
	p.picture(v, from)
	if p.Moves, err = f.studio.Moves(r.Context(), supply.Sheets, id); err != nil {
		return err
	}
	p.Moves = p.Moves[:min(len(p.Moves), 12)]
	p.Reprice = p.put(repriceForm(id, studio.Prices{Price: v.Price, Steps: v.Steps, PrintCost: v.PrintCost}), fail)
	if !v.Closed {
		p.Close = newForm("close", fmt.Sprintf("/editions/%d/close", id))
		p.Close.ask("sure", "Nothing more of it will be sold; it stays closed").as("check").wide()
		p.put(p.Close, fail)
		if !v.Open() {
			p.Ahead = newForm("ahead", fmt.Sprintf("/editions/%d/sign", id))
			p.Ahead.ask("numbers", "Numbers").hint("for example 12, 15-20, AP 1").wide().must()
			p.put(p.Ahead, fail)
		}
	}
	return f.show(w, r, statusOf(fail), "edition", p)
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
func (p *editionPage) picture(v studio.EditionView, from int) {
	for _, s := range edition.States() {
		if n := v.Counts[s]; n > 0 {
			p.Counts = append(p.Counts, stateCount{s, stateWords[s], n})
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
		Text: n.Number.String(), State: n.Standing.State, Word: stateWords[n.Standing.State],
		Link: fmt.Sprintf("/editions/%d/numbers/%s", e.ID, numberPath(n.Number)),
	}
	c.Full = n.Number.Of(e) + ", " + c.Word
	if n.Buyer != "" {
		c.Full += ", " + n.Buyer
	}
	return c
}

// priceSteps is how many steps the form offers beyond those there are.
const moreSteps = 2

func repriceForm(id int64, p studio.Prices) *form {
	fm := newForm("price", fmt.Sprintf("/editions/%d/price", id))
	fm.ask("price", "Price at first").money(p.Price).must()
	fm.ask("print_cost", "Cost of a sheet from the lab").money(p.PrintCost)
	askSteps(fm, p.Steps)
	return fm.sealed()
}

func askSteps(fm *form, steps []edition.PriceStep) {
	for i := range len(steps) + moreSteps {
		from := fm.ask(fmt.Sprintf("from[%d]", i), "Once so many are sold").mode("numeric")
		from.Class = "first"
		price := fm.ask(fmt.Sprintf("price_steps[%d]", i), "the price is").mode("decimal").half()
		if i < len(steps) {
			from.whole(steps[i].FromSold)
			price.money(steps[i].Price)
		}
	}
}

// readSteps reads the price steps that are filled in.
func readSteps(rd *reader, cur string) []edition.PriceStep {
	var out []edition.PriceStep
	for i := 0; rd.form.find(fmt.Sprintf("from[%d]", i)) != nil; i++ {
		from, price := fmt.Sprintf("from[%d]", i), fmt.Sprintf("price_steps[%d]", i)
		if rd.text(from) == "" && rd.text(price) == "" {
			continue
		}
		rd.Check(rd.text(price) != "", price, "the price is missing", "give a price, or empty the threshold too")
		out = append(out, edition.PriceStep{FromSold: rd.whole(from), Price: rd.amount(price, cur)})
	}
	return out
}

func (f *face) reprice(w http.ResponseWriter, r *http.Request) error {
	id, err := pathID(r, "edition")
	if err != nil {
		return err
	}
	build := func(p studio.Prices) *form { return repriceForm(id, p) }
	read := func(rd *reader, p studio.Prices) studio.Prices {
		cur := p.Price.Currency
		return studio.Prices{Price: rd.amount("price", cur), PrintCost: rd.amount("print_cost", cur), Steps: readSteps(rd, cur)}
	}
	if err := f.studio.Reprice(r.Context(), id, changing(r, build, read)); err != nil {
		if ours(err) {
			return err
		}
		return f.showEdition(w, r, failedIn("price", r, err))
	}
	return f.doneSaying(w, r, fmt.Sprintf("/editions/%d", id), "priced")
}

func (f *face) closeEdition(w http.ResponseWriter, r *http.Request) error {
	build := func(studio.EditionView) *form {
		fm := newForm("close", "")
		fm.ask("sure", "")
		return fm
	}
	return f.ofEdition(w, r, build, func(v studio.EditionView, rd *reader) error {
		if !rd.ticked("sure") {
			return fault.Invalidf("sure", "an edition once closed stays closed").ToMend("tick the box to say that you mean it")
		}
		return f.studio.CloseEdition(r.Context(), v.ID)
	}, "closed")
}

func (f *face) signAhead(w http.ResponseWriter, r *http.Request) error {
	id, err := pathID(r, "edition")
	if err != nil {
		return err
	}
	v, err := f.studio.Edition(r.Context(), id)
	if err != nil {
		return err
	}
	ns, err := numberList(r.PostForm.Get("numbers"), v.Edition)
	if err == nil {
		err = f.studio.SignAhead(r.Context(), id, ns)
	}
	if err != nil {
		if ours(err) {
			return err
		}
		return f.showEdition(w, r, failedIn("ahead", r, err))
	}
	return f.done(w, r, fmt.Sprintf("/editions/%d", id))
}

// ofEdition reads an edition and its form and does one thing to it.
func (f *face) ofEdition(w http.ResponseWriter, r *http.Request, build func(studio.EditionView) *form, do func(studio.EditionView, *reader) error, says string) error {
	id, err := pathID(r, "edition")
	if err != nil {
		return err
	}
	v, err := f.studio.Edition(r.Context(), id)
	if err != nil {
		return err
	}
	fm := build(v)
	fm.read(r.PostForm)
	if err := do(v, fm.reader()); err != nil {
		if ours(err) {
			return err
		}
		return f.showEdition(w, r, failed(fm, r, err))
	}
	return f.doneSaying(w, r, fmt.Sprintf("/editions/%d", id), says)
}

// zero is nothing of a currency.
func zero(cur string) money.Amount { return money.Of(0, cur) }
