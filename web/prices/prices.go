// Package prices is price cards made anew in a browser: the cells that she uses, typed from the operator's page, and what
// she paid against the card. Each exported method of Prices answers one route of package web.
package prices

import (
	"cmp"
	"fmt"
	"net/http"
	"net/url"
	"slices"

	"solander/calendar"
	"solander/fault"
	"solander/money"
	"solander/papers"
	"solander/pricecards"
	"solander/studio"
	"solander/tariff"
	"solander/tariff/renew"
	"solander/web/form"
	"solander/web/page"
)

// Prices is the handlers of this room.
type Prices struct {
	*page.Kit
	kept page.Kept[string] // the grids of cards, each of which follows from every parcel of a year
}

// RenewPage is the grid of a card: what is typed of the next one, and what comes of it.
type RenewPage struct {
	page.Frame
	Card   tariff.Card
	Grid   pricecards.Grid
	Tables []table
	Form   *form.Form
	Plot   *papers.Plot // what was paid beside what the card said; nil without parcels
	Drifts []drift
	Next   *pricecards.Next // what the typed prices make; nil before they are shown
	Factor string           // for what is carried over
	Typed  int
	Rest   int // prices carried over
}

// table is a service's cells that are asked for, step by step.
type table struct {
	Name string
	Rows []row
}

// row is a step and its cells, by zone.
type row struct {
	Step  string
	Cells []cell
}

type cell struct {
	Field  *form.Field
	Doubts []string
}

// drift is what the card said of a service, or of a step and zone of it, and what was paid.
type drift struct {
	Name       string
	Parcels    int
	Said, Paid money.Amount
	Factor     renew.Factor
	Told       bool
	Cells      []drift
}

// draft is a form being filled.
type draft struct {
	typed  url.Values
	next   *pricecards.Next
	doubts []renew.Doubt
	err    error
}

// Renew shows the grid of the card that the address names.
func (f *Prices) Renew(w http.ResponseWriter, r *http.Request) error {
	return f.show(w, r, r.URL.Query().Get("id"), draft{})
}

// SaveRenewed shows what the typed prices make, or keeps it as the next card.
func (f *Prices) SaveRenewed(w http.ResponseWriter, r *http.Request) error {
	id := r.PostForm.Get("id")
	g, err := pricecards.GridOf(r.Context(), f.Seen(r), id)
	if err != nil {
		return err
	}
	in := pricecards.RenewIn{Card: id}
	a := newAsk(&g, &in, page.Settings(r))
	err = a.Form.Take(r.PostForm)
	var next pricecards.Next
	if err == nil {
		a.leaveUntouched(&in)
		next, err = pricecards.TryRenew(r.Context(), f.Seen(r), in)
	}
	keep := r.PostForm.Get("do") == "keep"
	if err == nil && keep && len(next.Doubts) > 0 && !a.sure {
		err = fault.Invalidf("sure", "%s look like slips of the pen", fault.Count(len(next.Doubts), "price")).ToMend("look at each against the operator's page; tick that they are so, or correct them")
	}
	if err == nil && keep {
		if _, err = pricecards.Renew(r.Context(), f.Studio, in); err == nil {
			return f.DoneSaying(w, r, "/studio#cards", "card-next")
		}
	}
	if page.Ours(err) {
		return err
	}
	d := draft{typed: r.PostForm, err: err, doubts: next.Doubts}
	if next.Card.ID != "" {
		d.next = &next
	} else {
		a.leaveUntouched(&in)
		d.doubts = pricecards.LookOverNext(r.Context(), f.Seen(r), in)
	}
	return f.show(w, r, id, d)
}

func (f *Prices) show(w http.ResponseWriter, r *http.Request, id string, d draft) error {
	fr, err := f.Frame(r, "studio", "The next price card")
	if err != nil {
		return err
	}
	g, err := page.Remembered(r.Context(), &f.kept, f.Seen(r), id, fr.Today, func() (pricecards.Grid, error) { return pricecards.GridOf(r.Context(), f.Seen(r), id) })
	if err != nil {
		return err
	}
	var in pricecards.RenewIn
	a := newAsk(&g, &in, page.Settings(r))
	p := &RenewPage{Frame: fr, Card: g.Card, Grid: g, Form: a.Form, Next: d.next}
	var fail *page.Failure
	switch {
	case d.err != nil:
		fail = page.FailedIn(p.Form.Name, r, d.err)
		p.Put(p.Form, fail)
	case d.typed != nil:
		p.Form.Read(d.typed)
	}
	p.tables(a, d.doubts)
	p.drifts()
	if d.next != nil {
		p.result()
	}
	return f.Show(w, r, page.StatusOf(fail), "renew", p)
}

// ask is the form of a grid.
type ask struct {
	*form.Form
	grid   *pricecards.Grid
	prices []int64 // as typed, beside grid.Asked
	same   bool
	sure   bool
	fields map[renew.Cell]*form.Field
}

func newAsk(g *pricecards.Grid, in *pricecards.RenewIn, set studio.Settings) *ask {
	a := &ask{Form: form.New("renew", "/studio/cards/renew"), grid: g, prices: make([]int64, len(g.Asked)), fields: map[renew.Cell]*form.Field{}}
	a.Ask("id", "").As("hidden").Is(g.Card.ID)
	a.Day("from", "They hold from", &in.From).Must()
	a.Text("source", "Where they stand", &in.Source).Must().Wide().WithHint("such as the operator's page and its day")
	if in.Who == "" {
		in.Who = set.Artist
	}
	a.Text("who", "Typed by", &in.Who).Must()
	factor := ""
	a.Bind("factor", "All else times", factor, func(typed string) (err error) {
		in.Factor, err = renew.ParseFactor(typed)
		return err
	}).WithHint("empty: by as much as the typed prices rose, each as often as you use it").OrEmpty()
	for i, u := range g.Asked {
		a.prices[i] = int64(u.Price(&g.Card))
		zone := "Price"
		if u.Zone != "" {
			zone = "Zone " + u.Zone
		}
		was := money.Of(a.prices[i], g.Card.Currency).Plain()
		a.fields[u.Cell] = a.Minor(fmt.Sprintf("price[%d]", i), zone, &a.prices[i], g.Card.Currency).WithHint(fmt.Sprintf("was %s, %d sent", was, u.Parcels))
	}
	a.Then(func(l *fault.List) {
		for i, n := range a.prices {
			l.Check(n > 0, fmt.Sprintf("price[%d]", i), "is no price", "type what the operator asks for it")
		}
	})
	a.Tick("same", "A price that I left as it was did not change", &a.same).WithHint("else it is carried over like the rest, and marked so")
	a.Tick("sure", "The doubtful prices are so", &a.sure)
	return a
}

// leaveUntouched takes as typed the prices that differ from the old ones, and those left as they were when she says so.
func (a *ask) leaveUntouched(in *pricecards.RenewIn) {
	in.Typed = map[renew.Cell]tariff.Cell{}
	for i, u := range a.grid.Asked {
		if p := tariff.Cell(a.prices[i]); a.same || p != u.Price(&a.grid.Card) {
			in.Typed[u.Cell] = p
		}
	}
}

// tables lays the asked cells out by service.
func (p *RenewPage) tables(a *ask, found []renew.Doubt) {
	doubts := map[renew.Cell][]string{}
	for _, d := range found {
		if d.Cell != nil {
			doubts[*d.Cell] = append(doubts[*d.Cell], d.Text)
		}
	}
	for _, u := range p.Grid.Asked { // in the card's order: services, steps, zones
		s := p.Card.Service(u.Service)
		if n := len(p.Tables); n == 0 || p.Tables[n-1].Name != s.Name {
			p.Tables = append(p.Tables, table{Name: s.Name})
		}
		t := &p.Tables[len(p.Tables)-1]
		if step := u.Step(&p.Card); len(t.Rows) == 0 || t.Rows[len(t.Rows)-1].Step != step {
			t.Rows = append(t.Rows, row{Step: step})
		}
		r := &t.Rows[len(t.Rows)-1]
		r.Cells = append(r.Cells, cell{a.fields[u.Cell], doubts[u.Cell]})
	}
}

// mostPairs bounds the plot, which shows the cells by which most was paid.
const mostPairs = 12

// drifts fills the table of what was paid against the card, and its plot.
func (p *RenewPage) drifts() {
	var pairs []papers.PlotPoint
	amount := func(n int64) money.Amount { return money.Of(n, p.Card.Currency) }
	for _, d := range p.Grid.Drifts {
		line := drift{Name: d.Name, Parcels: d.Parcels, Said: amount(d.Estimated), Paid: amount(d.Paid), Factor: d.Factor(), Told: d.Told()}
		for _, u := range d.Cells {
			name := u.Text(&p.Card)
			line.Cells = append(line.Cells, drift{Name: name, Parcels: u.Parcels, Said: amount(u.Estimated), Paid: amount(u.Paid), Factor: u.Factor()})
			pairs = append(pairs, papers.PlotPoint{Name: name, Before: u.Estimated, After: u.Paid})
		}
		p.Drifts = append(p.Drifts, line)
	}
	slices.SortStableFunc(pairs, func(a, b papers.PlotPoint) int { return cmp.Compare(b.After, a.After) })
	if p.Plot = papers.PlotOf(pairs[:min(len(pairs), mostPairs)], p.Card.Currency); p.Plot != nil {
		p.Plot.Label = "What the card said and what was paid, by the steps and zones that cost most. The table below has every number."
	}
}

// result says what came of the typed prices.
func (p *RenewPage) result() {
	for _, s := range p.Next.Card.Services {
		for _, r := range s.Prices.Rows {
			p.Rest += len(r.Carried)
			for i := range r.Prices {
				if r.Prices[i] != tariff.NotCarried {
					p.Typed++
				}
			}
		}
	}
	p.Typed -= p.Rest
	p.Factor = p.Next.Factor.String()
}

// Before is the day before the new card's first, on which the old one ends.
func (p *RenewPage) Before() calendar.Day { return p.Next.Card.From.Add(-1) }
