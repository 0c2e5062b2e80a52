// Package compare sets two price cards beside one another in a browser. The exported method of Compare answers one route of package web.
package compare

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"solander/money"
	"solander/pricecards"
	"solander/tariff"
	"solander/tariff/lint"
	"solander/web/form"
	"solander/web/page"
)

// Compare is the handlers of this room.
type Compare struct {
	*page.Kit
}

// DiffPage says in what a price card differs from an older one.
type DiffPage struct {
	page.Frame
	Choose *form.Form
	A, B   *tariff.Card
	Head   []string // what differs in the card itself, in words
	Parts  []diffPart
	Zones  []string
	Same   bool
}

// diffPart is a service in which the cards differ.
type diffPart struct {
	id      string
	Name    string
	Summary string
	Rules   []string
	Cells   []diffCell
	More    int    // prices that differ too, and do not stand here
	All     string // where all of them stand; "" = here
	Folded  bool
}

// diffCell is a price before and after.
// diffStep is a step, with its prices that differ.
type diffStep struct {
	Step  string
	Cells []diffCell
}

// Steps are the prices that stand here, a row for each step.
func (p diffPart) Steps() []diffStep {
	var out []diffStep
	for _, c := range p.Cells {
		if n := len(out); n == 0 || out[n-1].Step != c.Step {
			out = append(out, diffStep{Step: c.Step})
		}
		last := &out[len(out)-1]
		last.Cells = append(last.Cells, c)
	}
	return out
}

// Differ is how many prices differ.
func (p diffPart) Differ() int { return len(p.Cells) + p.More }

type diffCell struct {
	Zone, Step, Was, Now, Ratio string
}

// Diff compares the two cards that the address names; without them it asks.
func (f *Compare) Diff(w http.ResponseWriter, r *http.Request) error {
	fr, err := f.Frame(r, "studio", "Two price cards compared")
	if err != nil {
		return err
	}
	list, err := pricecards.Cards(r.Context(), f.Seen(r))
	if err != nil {
		return err
	}
	p := &DiffPage{Frame: fr}
	q := r.URL.Query()
	a, b := q.Get("a"), q.Get("b")
	if a == "" && b != "" {
		a = before(list, b)
	}
	p.Choose = form.New("diff", "/studio/cards/diff")
	var choices []form.Choice
	for _, c := range list {
		choices = append(choices, form.Pick(c.ID, c.ID))
	}
	with := func(none string) []form.Choice { return append([]form.Choice{form.Pick("", none)}, choices...) }
	p.Choose.Ask("a", "The older card").Is(a).Of(with("the one before it")...)
	p.Choose.Ask("b", "The newer card").Is(b).Of(with("choose")...)
	if a != "" && b != "" {
		if err := p.compare(r, f, a, b); err != nil {
			return err
		}
	}
	return f.Show(w, r, http.StatusOK, "carddiff", p)
}

// before is the card of the same series that began last before another; the one itself when there is none.
func before(list []pricecards.CardInfo, id string) string {
	var now, out pricecards.CardInfo
	for _, c := range list {
		if c.ID == id {
			now = c
		}
	}
	for _, c := range list {
		if c.Series == now.Series && c.From.Before(now.From) && (out.ID == "" || out.From.Before(c.From)) {
			out = c
		}
	}
	if out.ID == "" {
		return id
	}
	return out.ID
}

func (p *DiffPage) compare(r *http.Request, f *Compare, a, b string) error {
	was, err := pricecards.Card(r.Context(), f.Seen(r), a)
	if err != nil {
		return err
	}
	now, err := pricecards.Card(r.Context(), f.Seen(r), b)
	if err != nil {
		return err
	}
	p.A, p.B = &was, &now
	changes := lint.Diff(&was, &now)
	p.Same = len(changes) == 0
	at := map[string]int{}
	for _, c := range changes {
		if c.Service == "" {
			if c.Kind == "zones" {
				p.Zones = append(p.Zones, c.Text)
			} else {
				p.Head = append(p.Head, c.Text)
			}
			continue
		}
		i, known := at[c.Service]
		if !known {
			i = len(p.Parts)
			at[c.Service] = i
			part := diffPart{id: c.Service, Name: nameOf(c.Service, &now, &was), Summary: strings.TrimPrefix(lint.Summary(changes, c.Service), ": ")}
			p.Parts = append(p.Parts, part)
		}
		part := &p.Parts[i]
		switch c.Kind {
		case "cell":
			part.Cells = append(part.Cells, cellOf(c, &was, &now))
		case "service":
			part.Rules = append(part.Rules, "this service "+strings.TrimPrefix(c.Text, part.Name+" "))
		default:
			part.Rules = append(part.Rules, c.Text)
		}
	}
	p.fold(r.URL.Query())
	return nil
}

// fold folds long lists of prices, and leaves out what would make the page heavy: all prices of a service stand on a page that asks
// for it.
func (p *DiffPage) fold(q url.Values) {
	only := q.Get("service")
	for i := range p.Parts {
		part := &p.Parts[i]
		part.Folded = len(part.Cells) > mostUnfolded && part.id != only
		if over := len(part.Cells) - mostCells; over > 0 && part.id != only {
			part.Cells, part.More = part.Cells[:mostCells], over
			q.Set("service", part.id)
			part.All = "/studio/cards/diff?" + q.Encode() + "#h-part0"
		}
	}
	if only != "" {
		p.Parts = slices.DeleteFunc(p.Parts, func(part diffPart) bool { return part.id != only })
	}
}

// mostCells is how many prices of a service stand on a page of all of them.
const mostCells = 40

// mostUnfolded is how many cells of a service stand open.
const mostUnfolded = 12

func nameOf(id string, cards ...*tariff.Card) string {
	for _, c := range cards {
		if s := c.Service(id); s != nil {
			return s.Name
		}
	}
	return id
}

func cellOf(c lint.Change, was, now *tariff.Card) diffCell {
	amount := func(n int64, currency string) string {
		if tariff.Cell(n) == tariff.NotCarried {
			return "not carried"
		}
		return money.Of(n, currency).String()
	}
	out := diffCell{Zone: c.Zone, Step: c.Step, Was: amount(c.Was, was.Currency), Now: amount(c.Now, now.Currency)}
	if c.Was > 0 && c.Now >= 0 && was.Currency == now.Currency {
		out.Ratio = fmt.Sprintf("× %d.%03d", (1000+c.Permille)/1000, (1000+c.Permille)%1000)
	}
	return out
}
