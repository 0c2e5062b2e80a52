package catalogue

import (
	"fmt"
	"net/http"
	"net/url"
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

// EditionPage is one edition with its picture, its counts and its contact sheet.
type EditionPage struct {
	page.Frame
	Edition studio.EditionView
	Size    string
	Of      string
	Next    string // the price step to come: "52.00 from the 101st"
	Sum     []lotCount
	Limit   int
	States  []stateTab
	Filter  filter
	Kinds   []kindSheet
	Sales   *salesPlot
	Steps   []edition.PriceStep
	Moves   []supply.Move
	Reprice *form.Form
	Close   *form.Form
	Cancel  *form.Form
	Ends    register.Ends
	Rest    int // numbers that are withdrawn when it is closed
	Ahead   *form.Form
}

// lotCount is how many of the numbered impressions are in a lot, and where they are listed.
type lotCount struct {
	Count int
	Word  string
	To    string
}

// lotWords are the lots as the page says them.
var lotWords = map[edition.Lot]string{edition.Sold: "sold", edition.Unsold: "unsold", edition.OutOfSale: "out of sale"}

// stateTab leads to the numbers in a state, or to all of them.
type stateTab struct {
	State edition.State // "" = all
	Word  string
	Count int
	To    string
	Here  bool
}

// filter is what of the edition is drawn, as the page shows and asks it.
type filter struct {
	Show     string // "", a state, a lot or page.ShowLoose
	Kind     edition.Kind
	From, To string
	Words    string // "sold, 20 to 60"; "" when everything is drawn
	All      string // link to everything
	Last     int
}

func (f *Catalogue) Edition(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	id, err := page.PathID(r, "edition")
	if err != nil {
		return err
	}
	asked, err := askedFor(r.URL.Query())
	if err != nil {
		return err
	}
	v, err := register.ReadSheet(r.Context(), f.Seen(r), id, asked)
	if err != nil {
		return err
	}
	fr, err := f.Frame(r, "editions", v.Name(page.Units(r)))
	if err != nil {
		return err
	}
	if err := f.Hang(r, &fr, v.Work); err != nil {
		return err
	}
	p := &EditionPage{Frame: fr, Edition: v.EditionView, Size: v.Size(fr.Units), Of: ofText(v.Edition), Limit: v.Limit, Steps: v.Steps}
	p.Tell(fail)
	p.count(v, asked)
	p.Kinds = sheetOf(v, asked)
	p.Next, p.Sales = nextStep(v.EditionView), plotSales(v)
	if p.Moves, err = stockroom.Moves(r.Context(), f.Seen(r), supply.Sheets, id); err != nil {
		return err
	}
	p.Moves = p.Moves[:min(len(p.Moves), 12)]
	p.Reprice = p.Put(repriceForm(id, &register.Prices{Price: v.Price, Steps: v.Steps, PrintCost: v.PrintCost}), fail)
	p.Ends, p.Rest = v.Ends, v.Remaining
	if v.Ends.Cancelled == nil {
		p.Cancel = p.Put(endForm(&edition.Closing{Edition: id, Fact: edition.Cancelled}, new(bool)), fail)
	}
	if c := v.Ends.Closed; c == nil || c.Day.IsZero() {
		p.Close = p.Put(endForm(&edition.Closing{Edition: id, Fact: edition.Closed}, new(bool)), fail)
	}
	if !v.Closed {
		if !v.Open() {
			p.Ahead = aheadForm(v.Edition, new([]edition.Number))
			p.Put(p.Ahead, fail)
		}
	}
	return f.Show(w, r, page.StatusOf(fail), "edition", p)
}

// nextStep says the price step to come; "" when there is none.
func nextStep(v studio.EditionView) string {
	for _, s := range v.Steps {
		if s.FromSold > v.Sold {
			return fmt.Sprintf("%s once %d are sold", s.Price, s.FromSold)
		}
	}
	return ""
}

// askedFor reads what of the edition shall be drawn: ?show= a state, a lot or page.ShowLoose, ?of= a kind, ?from= and ?to= a range, ?at= a part.
func askedFor(q url.Values) (a register.Asked, err error) {
	var l fault.List
	for _, n := range []struct {
		name string
		to   *int
	}{{"from", &a.From}, {"to", &a.To}, {"at", &a.At}} {
		text := q.Get(n.name)
		if text == "" {
			continue
		}
		if *n.to, err = strconv.Atoi(text); err != nil || *n.to < 1 {
			l.Add(fault.Invalidf(n.name, "%.20q is no number of this edition", text).ToMend("use a whole number from 1"))
		}
	}
	show, kind := q.Get("show"), edition.Kind(q.Get("of"))
	switch {
	case show == "":
	case page.StateWords[edition.State(show)] != "":
		a.State = edition.State(show)
	case lotWords[edition.Lot(show)] != "":
		a.Lot = edition.Lot(show)
	case show == page.ShowLoose:
		a.Loose = true
	default:
		l.Add(fault.Invalidf("show", "numbers are never %.20q", show).ToMend("choose a state above the numbers"))
	}
	l.Check(kind == "" || kindHead(kind) != "", "of", fmt.Sprintf("%.20q is no kind of impression", string(kind)), "use N, AP, PP, HC or BAT")
	a.Kind = kind
	return a, l.Err()
}

// showOf is what ?show= says of it.
func showOf(a register.Asked) string {
	if a.Loose {
		return page.ShowLoose
	}
	return string(a.State) + string(a.Lot)
}

// address is where what is asked for stands.
func address(ed int64, a register.Asked) string {
	q := url.Values{}
	for name, n := range map[string]int{"from": a.From, "to": a.To, "at": a.At} {
		if n > 0 {
			q.Set(name, strconv.Itoa(n))
		}
	}
	if show := showOf(a); show != "" {
		q.Set("show", show)
	}
	if a.Kind != "" {
		q.Set("of", string(a.Kind))
	}
	to := fmt.Sprintf("/editions/%d", ed)
	if len(q) > 0 {
		to += "?" + q.Encode()
	}
	return to + "#numbers"
}

// count adds the numbers up by lot and by state, each with the way to its list.
func (p *EditionPage) count(v register.Sheet, a register.Asked) {
	if v.Open() {
		return
	}
	lots, states := v.Lots[edition.Numbered], v.Counts
	for _, lot := range edition.Lots() {
		p.Sum = append(p.Sum, lotCount{lots[lot], lotWords[lot], address(v.ID, register.Asked{Kind: edition.Numbered, Lot: lot})})
	}
	ranged := register.Asked{From: a.From, To: a.To}
	p.States = []stateTab{{Word: "all", Count: v.Total(), To: address(v.ID, ranged), Here: showOf(a) == "" && a.Kind == ""}}
	for _, s := range edition.States() {
		if n := states[s]; n > 0 {
			ranged.State = s
			p.States = append(p.States, stateTab{s, page.StateWords[s], n, address(v.ID, ranged), a.State == s})
		}
	}
	p.Filter = filterOf(v, a)
}

// filterOf says what is drawn.
func filterOf(v register.Sheet, a register.Asked) filter {
	f := filter{Show: showOf(a), Kind: a.Kind, All: address(v.ID, register.Asked{}), Last: v.Limit}
	switch {
	case a.Lot != "":
		f.Words = lotWords[a.Lot]
	case a.State != "":
		f.Words = page.StateWords[a.State]
	case a.Loose:
		f.Words = "signed, of numbers nobody has"
	}
	if a.Kind != "" {
		f.Last = v.Count(a.Kind)
	}
	if a.From > 0 {
		f.From = strconv.Itoa(a.From)
	}
	if a.To > 0 {
		f.To = strconv.Itoa(a.To)
	}
	if a.From > 0 || a.To > 0 {
		if f.Words == "" {
			f.Words = "all"
		}
		to := a.To
		if to == 0 {
			to = f.Last
		}
		f.Words += fmt.Sprintf(", %d to %d", max(1, a.From), to)
	}
	if f.Words == "" && a.Kind != "" {
		f.Words = "all"
	}
	if a.Kind != "" {
		f.Words += ": " + kindHead(a.Kind)
	}
	return f
}
