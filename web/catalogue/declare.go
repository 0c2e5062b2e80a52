package catalogue

import (
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"solander/edition"
	"solander/money"
	"solander/register"
	"solander/studio"
	"solander/web/form"
	"solander/web/page"
)

func workForm(work edition.Work) *form.Form {
	to := "/works"
	if work.ID != 0 {
		to = fmt.Sprintf("/works/%d", work.ID)
	}
	fm := form.New("work", to)
	fm.Ask("title", "Title").Is(work.Title).Must().Half().WithAuto("off")
	year := fm.Ask("year", "Year").WithMode("numeric").WithHint("of the picture; empty when unsaid")
	if work.Year != 0 {
		year.Whole(work.Year)
	}
	fm.Ask("note", "Note").As("area").Is(work.Note).Wide()
	return fm.Sealed()
}

func readWork(rd *form.Reader, wk edition.Work) edition.Work {
	wk.Title, wk.Year, wk.Note = rd.Text("title"), rd.Whole("year"), rd.Text("note")
	return wk
}

func (f *Catalogue) NewWork(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	return f.ShowForm(w, r, "editions", "New work", "A work is a picture, whatever its prints. Its editions come next.", "Save the work", page.LinkTo("/editions", "Editions"), workForm(edition.Work{}), fail)
}

func (f *Catalogue) workOf(r *http.Request) (edition.Work, error) {
	id, err := page.PathID(r, "work")
	if err != nil {
		return edition.Work{}, err
	}
	works, err := register.Works(r.Context(), f.Studio)
	if err != nil {
		return edition.Work{}, err
	}
	for _, wv := range works {
		if wv.ID == id {
			return wv.Work, nil
		}
	}
	return edition.Work{}, page.Missing("work", id)
}

func (f *Catalogue) Work(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	wk, err := f.workOf(r)
	if err != nil {
		return err
	}
	return f.ShowForm(w, r, "editions", wk.Title, "", "Save the work", page.LinkTo(fmt.Sprintf("/editions#work-%d", wk.ID), "Its editions"), workForm(wk), fail)
}

func (f *Catalogue) AddWork(w http.ResponseWriter, r *http.Request) error {
	wk, err := register.ChangeWork(r.Context(), f.Studio, 0, form.Changing(r, workForm, readWork))
	if err != nil {
		return page.ShowAgain(w, r, "work", err, f.NewWork)
	}
	return f.DoneSaying(w, r, fmt.Sprintf("/editions/new?work=%d", wk.ID), "work")
}

func (f *Catalogue) SaveWork(w http.ResponseWriter, r *http.Request) error {
	id, err := page.PathID(r, "work")
	if err != nil {
		return err
	}
	if _, err := register.ChangeWork(r.Context(), f.Studio, id, form.Changing(r, workForm, readWork)); err != nil {
		return page.ShowAgain(w, r, "work", err, f.Work)
	}
	return f.DoneSaying(w, r, fmt.Sprintf("/editions#work-%d", id), "work")
}

// DeclareForm asks for an edition. With of 0 the work is asked for, too.
func DeclareForm(name, action string, works []register.WorkView, set studio.Settings) *form.Form {
	fm := form.New(name, action)
	if works != nil {
		choices := []form.Choice{form.Pick("", "choose")}
		for _, wv := range works {
			choices = append(choices, form.Pick(strconv.FormatInt(wv.ID, 10), wv.Title))
		}
		fm.Ask("work", "Work").Of(choices...).Must().Half()
	}
	fm.Ask("technique", "Technique").WithHint("pigment print, etching").Half()
	unit := "a number alone is in " + form.UnitWord(set.Units)
	fm.Ask("width", "Width of the sheet").Must().WithHint(unit)
	fm.Ask("height", "Height of the sheet").Must().WithHint(unit)
	fm.Ask("grade", "Grade").Of(gradeChoices(set)...).Must()
	known := []form.Choice{form.Pick("", "another one")}
	for i, pp := range set.Papers {
		known = append(known, form.Pick(strconv.Itoa(i+1), pp.Grammage.Beside(pp.Name)))
	}
	if len(set.Papers) > 0 {
		fm.Ask("known_paper", "Paper").Of(known...).Half().WithHint("fills in what is left empty after it")
	} else {
		fm.Ask("known_paper", "").As("hidden")
	}
	fm.Ask("paper", "Paper, if another").Half()
	fm.Ask("grammage", "Grammage").WithHint("310 gsm, or 80 lb cover")
	fm.Ask("caliper", "Thickness of the sheet").WithHint("20 pt, or 0.5 mm")
	fm.Ask("tightest_roll", "Tightest roll").WithHint("inner diameter, such as 3 in; empty: never rolled")
	fm.Ask("limit", "Limit").WithMode("numeric").WithHint("how many are numbered; 0 or empty: an open edition")
	for _, k := range edition.Kinds()[1:] {
		fm.Ask(proofField(k), string(k)).WithMode("numeric").WithHint(strings.ToLower(kindHead(k))).Small()
	}
	fm.Ask("price", "Price at first").WithMode("decimal").Must()
	fm.Ask("print_cost", "Cost of a sheet from the lab").WithMode("decimal").WithHint("empty: not known")
	askSteps(fm, nil)
	return fm
}

func proofField(k edition.Kind) string {
	return map[edition.Kind]string{edition.AP: "ap", edition.PP: "pp", edition.HC: "hc", edition.BAT: "bat"}[k]
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

// ReadEdition turns the form into an edition; prices are in the studio's currency.
func ReadEdition(rd *form.Reader, set studio.Settings) edition.Edition {
	e := edition.Edition{
		Technique: rd.Text("technique"), Width: rd.Length("width", set.Units), Height: rd.Length("height", set.Units), Grade: rd.Text("grade"),
		Paper: rd.Text("paper"), Grammage: rd.Grammage("grammage"), Caliper: rd.Length("caliper", set.Units), TightestRoll: rd.Length("tightest_roll", set.Units),
		Limit: rd.Whole("limit"), Proofs: edition.Proofs{AP: rd.Whole("ap"), PP: rd.Whole("pp"), HC: rd.Whole("hc"), BAT: rd.Whole("bat")},
		Price: rd.Amount("price", set.Currency), PrintCost: rd.Amount("print_cost", set.Currency), Steps: readSteps(rd, set.Currency),
	}
	if rd.Form.Find("work") != nil {
		e.Work = rd.ID("work")
	}
	if i := rd.ID("known_paper"); i > 0 && int(i) <= len(set.Papers) {
		known := set.Papers[i-1]
		if e.Paper == "" {
			e.Paper = known.Name
		}
		if e.Grammage == 0 {
			e.Grammage = known.Grammage
		}
		if e.Caliper == 0 {
			e.Caliper = known.Caliper
		}
		if e.TightestRoll == 0 {
			e.TightestRoll = known.TightestRoll
		}
	}
	return e
}

const declareWords = "Limit and proofs are declared once: no path of the program can raise them afterwards. Look twice."

func (f *Catalogue) declareFormNow(r *http.Request) (*form.Form, studio.Settings, error) {
	set := page.Settings(r)
	works, err := register.Works(r.Context(), f.Studio)
	if err != nil {
		return nil, set, err
	}
	if works == nil {
		works = []register.WorkView{}
	}
	return DeclareForm("declare", "/editions", works, set), set, nil
}

func (f *Catalogue) NewEdition(w http.ResponseWriter, r *http.Request) error {
	fm, _, err := f.declareFormNow(r)
	if err != nil {
		return err
	}
	fm.Find("work").Is(r.URL.Query().Get("work"))
	return f.ShowForm(w, r, "editions", "Declare an edition", declareWords, "Declare the edition", page.LinkTo("/editions", "Editions"), fm, nil)
}

func (f *Catalogue) Declare(w http.ResponseWriter, r *http.Request) error {
	fm, set, err := f.declareFormNow(r)
	if err != nil {
		return err
	}
	fm.Read(r.PostForm)
	rd := fm.Reader()
	e := ReadEdition(rd, set)
	if err = rd.Err(); err != nil {
		err = form.Once(errors.Join(err, e.Validate())) // all that is wrong at once
	} else {
		e, err = register.Declare(r.Context(), f.Studio, e)
	}
	if err != nil {
		if page.Ours(err) {
			return err
		}
		return f.ShowForm(w, r, "editions", "Declare an edition", declareWords, "Declare the edition", page.LinkTo("/editions", "Editions"), fm, page.Failed(fm, r, err))
	}
	return f.DoneSaying(w, r, fmt.Sprintf("/editions/%d", e.ID), "declared")
}

// Priced shows an amount of the studio's currency, or nothing for none.
func Priced(fd *form.Field, a money.Amount) {
	if !a.IsZero() {
		fd.Money(a)
	}
}
