package catalogue

import (
	"fmt"
	"net/http"

	"solander/certify"
	"solander/edition"
	"solander/fault"
	"solander/register"
	"solander/studio"
	"solander/web/form"
	"solander/web/page"
)

// NumberPage is one number with its whole history.
type NumberPage struct {
	page.Frame
	Number  studio.NumberView
	Name    string
	Word    string
	Back    string
	History []edition.Entry
	Before  string // link to the number before
	After   string
	Deeds   []numberDeed
	Chain   certify.Provenance
	Papers  []certify.Standing
}

// numberDeed is a step that may be taken now.
type numberDeed struct {
	Head, Button string
	Form         *form.Form
}

func (f *Catalogue) numberOf(r *http.Request) (edition.Edition, edition.Number, error) {
	id, err := page.PathID(r, "edition")
	if err != nil {
		return edition.Edition{}, edition.Number{}, err
	}
	e, err := register.DeclaredEdition(r.Context(), f.Seen(r), id)
	if err != nil {
		return e, edition.Number{}, err
	}
	n, err := page.PathNumber(r, e)
	return e, n, err
}

func (f *Catalogue) Number(w http.ResponseWriter, r *http.Request) error {
	e, n, err := f.numberOf(r)
	if err != nil {
		return err
	}
	return f.showNumber(w, r, e, n, nil)
}

func (f *Catalogue) showNumber(w http.ResponseWriter, r *http.Request, e edition.Edition, n edition.Number, fail *page.Failure) error {
	v, err := register.Number(r.Context(), f.Seen(r), e.ID, n)
	if err != nil {
		return err
	}
	fr, err := f.Frame(r, "editions", v.Label+" of "+e.Title)
	if err != nil {
		return err
	}
	if err := f.Hang(r, &fr, v.Edition.Work); err != nil {
		return err
	}
	p := &NumberPage{Frame: fr, Number: v, Name: e.Name(fr.Units), Word: page.StateWords[v.Row.Standing.State], History: v.History, Back: fmt.Sprintf("/editions/%d", e.ID)}
	p.Tell(fail)
	if p.Chain, err = certify.ProvenanceOf(r.Context(), f.Seen(r), e.ID, n); err != nil {
		return err
	}
	if p.Papers, err = certify.OfNumber(r.Context(), f.Seen(r), e.ID, n); err != nil {
		return err
	}
	if n.N > 1 {
		p.Before = fmt.Sprintf("%s/numbers/%s", p.Back, page.NumberPath(edition.Number{Kind: n.Kind, N: n.N - 1}))
	}
	if n.N < e.Count(n.Kind) {
		p.After = fmt.Sprintf("%s/numbers/%s", p.Back, page.NumberPath(edition.Number{Kind: n.Kind, N: n.N + 1}))
	}
	for _, d := range numberDeeds(e.ID, n, v.Row.Standing) {
		p.Put(d.Form, fail)
		p.Deeds = append(p.Deeds, d)
	}
	return f.Show(w, r, page.StatusOf(fail), "number", p)
}

// deedHeads are the steps that the page offers, in the order shown.
var deedHeads = []struct {
	step         edition.Step
	head, button string
}{
	{edition.Keep, "Keep it in the archive", "Keep it"},
	{edition.Release, "Give it back", "Give it back"},
	{edition.Spoil, "The sheet is spoilt", "Note it as spoilt"},
	{edition.Restrike, "Strike it again", "Strike again"},
	{edition.Withdraw, "Withdraw it from the edition", "Withdraw it"},
}

// numberDeeds offers the steps that the rules of the register allow from here.
func numberDeeds(ed int64, n edition.Number, s edition.Standing) []numberDeed {
	var out []numberDeed
	for _, d := range deedHeads {
		if _, err := s.After(d.step, 0, "asked"); err != nil || s.State == edition.Consigned || s.State == edition.SoldThere {
			continue // what becomes of it is said on the gallery's page
		}
		if d.step == edition.Release && s.State != edition.Kept && s.State != edition.Spoilt || d.step == edition.Release && s.State == edition.Spoilt && s.Line == 0 {
			continue
		}
		out = append(out, numberDeed{d.head, d.button, deedForm(ed, n, d.step, &register.SpoilIn{SheetLost: true})})
	}
	return out
}

func deedForm(ed int64, n edition.Number, step edition.Step, in *register.SpoilIn) *form.Form {
	fm := form.New(string(step), fmt.Sprintf("/editions/%d/numbers/%s/%s", ed, page.NumberPath(n), step))
	reason := fm.Text("reason", "Reason", &in.Reason).Wide()
	if step == edition.Spoil || step == edition.Withdraw {
		reason.Must()
	}
	if step == edition.Spoil {
		fm.Tick("sheet_lost", "A printed sheet is lost with it", &in.SheetLost).Wide().WithHint("a signed one always is; untick it when nothing was printed yet")
	}
	return fm
}

// StepNumber takes one step of a number.
func (f *Catalogue) StepNumber(w http.ResponseWriter, r *http.Request) error {
	e, n, err := f.numberOf(r)
	if err != nil {
		return err
	}
	step := edition.Step(r.PathValue("step"))
	in := register.SpoilIn{Edition: e.ID, Number: n}
	fm := deedForm(e.ID, n, step, &in)
	err = fm.TakeAnd(r.PostForm, func() error { return f.step(r, step, in) })
	if err != nil {
		return f.ShowAgain(w, r, fm.Name, err, func(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
			return f.showNumber(w, r, e, n, fail)
		})
	}
	return f.DoneSaying(w, r, fmt.Sprintf("/editions/%d/numbers/%s", e.ID, page.NumberPath(n)), "register")
}

func (f *Catalogue) step(r *http.Request, step edition.Step, in register.SpoilIn) error {
	ctx, ed, n, reason := r.Context(), in.Edition, in.Number, in.Reason
	switch step {
	case edition.Keep:
		return register.Keep(ctx, f.Studio, ed, n, reason)
	case edition.Release:
		return register.Release(ctx, f.Studio, ed, n, reason)
	case edition.Spoil:
		return register.Spoil(ctx, f.Studio, in)
	case edition.Restrike:
		return register.Restrike(ctx, f.Studio, ed, n, reason)
	case edition.Withdraw:
		return register.Withdraw(ctx, f.Studio, ed, n, reason)
	}
	return fault.New(fault.Missing, "a number takes no step %.20q here", string(step))
}
