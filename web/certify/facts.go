// Package certify is what is told of an edition, in a browser: its facts, and what the rules of a state ask for. Each exported method
// of Certify answers one route of package web.
package certify

import (
	"fmt"
	"net/http"

	"solander/certify"
	"solander/disclosure"
	"solander/edition"
	"solander/web/form"
	"solander/web/page"
)

// Certify is the handlers of this room.
type Certify struct{ *page.Kit }

// OfEdition is what every page about an edition here begins with.
type OfEdition struct {
	Edition edition.Edition
	Name    string
	Back    string
}

// begin begins a page about the edition of the address; what it is about stands before the edition's name.
func (f *Certify) begin(r *http.Request, about string, fail *page.Failure) (frame page.Frame, of OfEdition, v certify.FactsView, err error) {
	id, err := page.PathID(r, "edition")
	if err != nil {
		return frame, of, v, err
	}
	if v, err = certify.Facts(r.Context(), f.Seen(r), id); err != nil {
		return frame, of, v, err
	}
	of = OfEdition{Edition: v.Edition, Name: v.Edition.Name(page.Units(r)), Back: fmt.Sprintf("/editions/%d", id)}
	if frame, err = f.Frame(r, "editions", about+" of "+of.Name); err == nil {
		frame.Tell(fail)
	}
	return frame, of, v, err
}

// FactsPage is what is told of an edition, and the rules of a state held against it.
type FactsPage struct {
	page.Frame
	OfEdition
	Form    *form.Form
	Settled []fact
	Groups  []group
	Ask     *form.Form
	Answer  *answer
	Caution string
}

// fact is what the declaration settles.
type fact struct{ Label, Text string }

// group is the facts that are asked under one head.
type group struct {
	Head   string
	Fields []*form.Field
}

// answer is the rules of a state as the page shows them.
type answer struct {
	certify.Answer
	Lines []line
	Text  bool // a text was looked at
}

// line is one item of the rules.
type line struct {
	disclosure.Line
	Label string
	Says  string // how it stands
	How   string // how far the rule was read
	Bad   bool
}

func factsForm(id int64, words *certify.Words) *form.Form {
	fm := form.New("facts", fmt.Sprintf("/editions/%d/facts", id))
	for _, a := range disclosure.Asked() {
		fd := fm.Bind(string(a.Fact), a.Label, (*words)[a.Fact], func(typed string) error {
			(*words)[a.Fact] = typed
			return nil
		})
		fd.Half().WithHint(a.Hint)
	}
	return fm.Sealed()
}

// question is what the second form asks.
type question struct {
	certify.Asked
	state string
}

func askForm(id int64, q *question, currency string) *form.Form {
	fm := form.New("ask", fmt.Sprintf("/editions/%d/disclosures", id))
	choices := []form.Choice{form.Pick("", "choose")}
	for _, s := range disclosure.Sets() {
		choices = append(choices, form.Pick(s.Code(), s.Name))
	}
	form.Select(fm, "state", "State of the buyer", &q.state, choices...).Must()
	fm.Amount("price", "Price", &q.Price, currency).OrEmpty().WithHint("empty: as it is now")
	fm.Tick("framed", "Sold in a frame", &q.Framed)
	fm.Area("text", "Text of a listing or a certificate", &q.Text).Wide().WithHint("empty: the facts alone are looked at")
	return fm
}

// Facts is the page; ?state= holds the edition against a state at once.
func (f *Certify) Facts(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	var q question
	q.state = r.URL.Query().Get("state")
	return f.show(w, r, q, fail)
}

func (f *Certify) show(w http.ResponseWriter, r *http.Request, q question, fail *page.Failure) error {
	frame, of, v, err := f.begin(r, "Facts", fail)
	if err != nil {
		return err
	}
	p := &FactsPage{Frame: frame, OfEdition: of, Caution: disclosure.Caution}
	words := v.Words()
	p.Form = p.Put(factsForm(v.Edition.ID, &words), fail)
	for _, a := range disclosure.Asked() {
		fd := p.Form.Find(string(a.Fact))
		if fd.Value == "" && v.Facts[a.Fact].Declared {
			fd.WithHint("empty: " + v.Facts[a.Fact].Text())
		}
		if n := len(p.Groups); n == 0 || p.Groups[n-1].Head != a.Group {
			p.Groups = append(p.Groups, group{Head: a.Group})
		}
		g := &p.Groups[len(p.Groups)-1]
		g.Fields = append(g.Fields, fd)
	}
	for _, s := range []disclosure.Fact{disclosure.Limited, disclosure.MaxSigned, disclosure.MaxProofs, disclosure.Total} {
		p.Settled = append(p.Settled, fact{s.Label(), v.Facts[s].Text()})
	}
	p.Ask = p.Put(askForm(v.Edition.ID, &q, page.Settings(r).Currency), fail)
	if q.state != "" && fail == nil {
		if p.Answer, err = f.answer(r, v.Edition.ID, q); err != nil {
			return err
		}
	}
	return f.Show(w, r, page.StatusOf(fail), "facts", p)
}

func (f *Certify) answer(r *http.Request, id int64, q question) (*answer, error) {
	q.State = q.state
	got, err := certify.Disclose(r.Context(), f.Seen(r), id, q.Asked)
	if err != nil {
		return nil, err
	}
	a := &answer{Answer: got, Text: q.Text != ""}
	for _, l := range got.Lines {
		a.Lines = append(a.Lines, lineOf(l))
	}
	return a, nil
}

func lineOf(l disclosure.Line) line {
	out := line{Line: l, Label: l.Fact.Label(), Says: l.Told.Text(), How: l.Read.Words()}
	switch {
	case l.Lacks:
		out.Says, out.Bad = "nothing is said of it", true
	case l.Found == disclosure.Silent:
		out.Says, out.Bad = l.Told.Text()+": the text does not say it ("+l.Why+")", true
	case l.Found == disclosure.Says:
		out.Says += ": said"
	}
	return out
}

// Save keeps what is said.
func (f *Certify) Save(w http.ResponseWriter, r *http.Request, id int64) error {
	build := func(words *certify.Words) *form.Form { return factsForm(id, words) }
	if _, err := certify.Say(r.Context(), f.Studio, id, form.Changing(r, build)); err != nil {
		return f.ShowAgain(w, r, "facts", err, f.Facts)
	}
	return f.DoneSaying(w, r, fmt.Sprintf("/editions/%d/facts", id), "facts")
}

// Disclosures holds the edition, and a text about it, against the rules of a state. It writes nothing.
func (f *Certify) Disclosures(w http.ResponseWriter, r *http.Request, id int64) error {
	var q question
	fm := askForm(id, &q, page.Settings(r).Currency)
	err := fm.TakeAnd(r.PostForm, func() error {
		_, err := f.answer(r, id, q)
		return err
	})
	if err != nil {
		return f.ShowAgain(w, r, "ask", err, f.Facts)
	}
	return f.show(w, r, q, nil)
}
