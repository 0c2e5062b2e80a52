package catalogue

import (
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"solander/edition"
	"solander/fault"
	"solander/register"
	"solander/studio"
	"solander/web/form"
	"solander/web/page"
)

func workForm(work *edition.Work) *form.Form {
	to := "/works"
	if work.ID != 0 {
		to = fmt.Sprintf("/works/%d", work.ID)
	}
	fm := form.New("work", to)
	fm.Text("title", "Title", &work.Title).Must().Half().WithAuto("off")
	fm.Whole("year", "Year", &work.Year).OrEmpty().WithHint("of the picture; empty when unsaid")
	fm.Area("note", "Note", &work.Note).Wide()
	return fm.Sealed()
}

func (f *Catalogue) NewWork(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	return f.ShowForm(w, r, page.OneForm{
		Room: "editions", Title: "New work", Under: "A work is a picture, whatever its prints. Its editions come next.",
		Button: "Save the work", Back: page.LinkTo("/editions", "Editions"), Form: workForm(new(edition.Work)),
	}, fail)
}

func (f *Catalogue) AddWork(w http.ResponseWriter, r *http.Request) error {
	wk, err := register.ChangeWork(r.Context(), f.Studio, 0, form.Changing(r, workForm))
	if err != nil {
		return f.ShowAgain(w, r, "work", err, f.NewWork)
	}
	return f.DoneSaying(w, r, fmt.Sprintf("/editions/new?work=%d", wk.ID), "work")
}

func (f *Catalogue) SaveWork(w http.ResponseWriter, r *http.Request, id int64) error {
	if _, err := register.ChangeWork(r.Context(), f.Studio, id, form.Changing(r, workForm)); err != nil {
		return f.ShowAgain(w, r, "work", err, f.Work)
	}
	return f.DoneSaying(w, r, fmt.Sprintf("/editions#work-%d", id), "work")
}

// AskEdition asks for an edition; prices are in the studio's currency.
func AskEdition(fm *form.Form, e *edition.Edition, set studio.Settings) {
	fm.Text("technique", "Technique", &e.Technique).WithHint("pigment print, etching").Half()
	unit := "a number alone is in " + form.UnitWord(set.Units)
	fm.Length("width", "Width of the sheet", &e.Width, set.Units).Must().WithHint(unit)
	fm.Length("height", "Height of the sheet", &e.Height, set.Units).Must().WithHint(unit)
	fm.Text("grade", "Grade", &e.Grade).Of(gradeChoices(set)...).Must()
	askPaper(fm, e, set)
	fm.Whole("limit", "Limit", &e.Limit).OrEmpty().WithHint("how many are numbered; 0 or empty: an open edition")
	for _, p := range []struct {
		kind edition.Kind
		name string
		n    *int
	}{{edition.AP, "ap", &e.Proofs.AP}, {edition.PP, "pp", &e.Proofs.PP}, {edition.HC, "hc", &e.Proofs.HC}, {edition.BAT, "bat", &e.Proofs.BAT}} {
		fm.Whole(p.name, string(p.kind), p.n).OrEmpty().WithHint(strings.ToLower(kindHead(p.kind))).Small()
	}
	fm.Amount("price", "Price at first", &e.Price, set.Currency).OrEmpty().Must()
	fm.Amount("print_cost", "Cost of a sheet from the lab", &e.PrintCost, set.Currency).OrEmpty().WithHint("empty: not known")
	askSteps(fm, &e.Steps, set.Currency)
}

// askPaper asks for the paper; one of the studio's own fills in what is left empty.
func askPaper(fm *form.Form, e *edition.Edition, set studio.Settings) {
	known := []form.Choice{form.Pick("", "another one")}
	for i, pp := range set.Papers {
		known = append(known, form.Pick(strconv.Itoa(i+1), pp.Grammage.Beside(pp.Name)))
	}
	var chosen int64
	if len(set.Papers) > 0 {
		fm.ID("known_paper", "Paper", &chosen, known...).Half().WithHint("fills in what is left empty after it")
	} else {
		fm.Ask("known_paper", "").As("hidden")
	}
	fm.Text("paper", "Paper, if another", &e.Paper).Half()
	fm.Grammage("grammage", "Grammage", &e.Grammage).WithHint("310 gsm, or 80 lb cover")
	fm.Caliper("caliper", "Thickness of the sheet", &e.Caliper, set.Units).WithHint("20 pt, or 0.5 mm")
	fm.Length("tightest_roll", "Tightest roll", &e.TightestRoll, set.Units).WithHint("inner diameter, such as 3 in; empty: never rolled")
	fm.Then(func(*fault.List) {
		if chosen > 0 && int(chosen) <= len(set.Papers) {
			set.Papers[chosen-1].Fill(e)
		}
	})
}

func gradeChoices(set studio.Settings) []form.Choice {
	out := []form.Choice{}
	for _, g := range set.Grades {
		out = append(out, form.Pick(g, g))
	}
	if len(out) == 0 {
		out = append(out, form.Pick("standard", "standard"), form.Pick("fine", "fine"))
	}
	return out
}

const declareWords = "Limit and proofs are declared once: nothing can raise them afterwards. Look twice."

func (f *Catalogue) declareForm(r *http.Request, e *edition.Edition) (*form.Form, error) {
	works, err := register.Works(r.Context(), f.Seen(r))
	if err != nil {
		return nil, err
	}
	choices := []form.Choice{form.Pick("", "choose")}
	for _, wv := range works {
		choices = append(choices, form.PickID(wv.ID, wv.Title))
	}
	fm := form.New("declare", "/editions")
	fm.ID("work", "Work", &e.Work, choices...).Must().Half()
	AskEdition(fm, e, page.Settings(r))
	return fm, nil
}

func (f *Catalogue) NewEdition(w http.ResponseWriter, r *http.Request) error {
	fm, err := f.declareForm(r, new(edition.Edition))
	if err != nil {
		return err
	}
	if len(fm.Find("work").Options) == 1 { // "choose" alone
		return f.ShowForm(w, r, page.OneForm{
			Room: "editions", Title: "Declare an edition", Under: "An edition is the prints of a work, and there is no work yet.",
			Back: page.LinkTo("/works/new", "Add the first work"),
		}, nil)
	}
	fm.Find("work").Is(r.URL.Query().Get("work"))
	return f.ShowForm(w, r, page.OneForm{
		Room: "editions", Title: "Declare an edition", Under: declareWords,
		Button: "Declare the edition", Back: page.LinkTo("/editions", "Editions"), Form: fm,
	}, nil)
}

func (f *Catalogue) Declare(w http.ResponseWriter, r *http.Request) error {
	var e edition.Edition
	fm, err := f.declareForm(r, &e)
	if err != nil {
		return err
	}
	if err = fm.Take(r.PostForm); err != nil {
		err = form.Once(errors.Join(err, e.Validate())) // all that is wrong at once
	} else {
		e, err = register.Declare(r.Context(), f.Studio, e)
	}
	if err != nil {
		if page.Ours(err) {
			return err
		}
		return f.ShowForm(w, r, page.OneForm{
			Room: "editions", Title: "Declare an edition", Under: declareWords,
			Button: "Declare the edition", Back: page.LinkTo("/editions", "Editions"), Form: fm,
		}, page.Failed(fm, r, err))
	}
	return f.DoneSaying(w, r, fmt.Sprintf("/editions/%d", e.ID), "declared")
}
