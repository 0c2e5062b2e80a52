package web

import (
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"solander/edition"
	"solander/measure"
	"solander/money"
	"solander/studio"
)

// formPage is a page with one form and a few words above it.
type formPage struct {
	frame
	Under  string
	Form   *form
	Button string
	Back   link
}

// showForm answers with a page of one form.
func (f *face) showForm(w http.ResponseWriter, r *http.Request, room, title, under, button string, back link, fm *form, fail *failure) error {
	fr, err := f.frame(r, room, title)
	if err != nil {
		return err
	}
	p := &formPage{frame: fr, Under: under, Form: fm, Button: button, Back: back}
	p.tell(fail)
	p.put(fm, fail)
	return f.show(w, r, statusOf(fail), "form", p)
}

func workForm(work edition.Work) *form {
	to := "/works"
	if work.ID != 0 {
		to = fmt.Sprintf("/works/%d", work.ID)
	}
	fm := newForm("work", to)
	fm.ask("title", "Title").is(work.Title).must().half().auto("off")
	year := fm.ask("year", "Year").mode("numeric").hint("of the picture; empty when unsaid")
	if work.Year != 0 {
		year.whole(work.Year)
	}
	fm.ask("note", "Note").as("area").is(work.Note).wide()
	return fm.sealed()
}

func readWork(rd *reader, wk edition.Work) edition.Work {
	wk.Title, wk.Year, wk.Note = rd.text("title"), rd.whole("year"), rd.text("note")
	return wk
}

func (f *face) newWork(w http.ResponseWriter, r *http.Request) error {
	return f.showNewWork(w, r, nil)
}

func (f *face) showNewWork(w http.ResponseWriter, r *http.Request, fail *failure) error {
	return f.showForm(w, r, "editions", "New work", "A work is a picture, whatever its prints. Its editions come next.", "Save the work", link{"/editions", "Editions"}, workForm(edition.Work{}), fail)
}

func (f *face) workOf(r *http.Request) (edition.Work, error) {
	id, err := pathID(r, "work")
	if err != nil {
		return edition.Work{}, err
	}
	works, err := f.studio.Works(r.Context())
	if err != nil {
		return edition.Work{}, err
	}
	for _, wv := range works {
		if wv.ID == id {
			return wv.Work, nil
		}
	}
	return edition.Work{}, missing("work", id)
}

func (f *face) work(w http.ResponseWriter, r *http.Request) error { return f.showWork(w, r, nil) }

func (f *face) showWork(w http.ResponseWriter, r *http.Request, fail *failure) error {
	wk, err := f.workOf(r)
	if err != nil {
		return err
	}
	return f.showForm(w, r, "editions", wk.Title, "", "Save the work", link{fmt.Sprintf("/editions#work-%d", wk.ID), "Its editions"}, workForm(wk), fail)
}

func (f *face) addWork(w http.ResponseWriter, r *http.Request) error {
	wk, err := f.studio.ChangeWork(r.Context(), 0, changing(r, workForm, readWork))
	if err != nil {
		if ours(err) {
			return err
		}
		return f.showNewWork(w, r, failedIn("work", r, err))
	}
	return f.doneSaying(w, r, fmt.Sprintf("/editions/new?work=%d", wk.ID), "work")
}

func (f *face) saveWork(w http.ResponseWriter, r *http.Request) error {
	id, err := pathID(r, "work")
	if err != nil {
		return err
	}
	if _, err := f.studio.ChangeWork(r.Context(), id, changing(r, workForm, readWork)); err != nil {
		if ours(err) {
			return err
		}
		return f.showWork(w, r, failedIn("work", r, err))
	}
	return f.doneSaying(w, r, fmt.Sprintf("/editions#work-%d", id), "work")
}

// declareForm asks for an edition. With of 0 the work is asked for, too.
func declareForm(name, action string, works []studio.WorkView, set studio.Settings) *form {
	fm := newForm(name, action)
	if works != nil {
		choices := []choice{{"", "choose"}}
		for _, wv := range works {
			choices = append(choices, choice{strconv.FormatInt(wv.ID, 10), wv.Title})
		}
		fm.ask("work", "Work").of(choices...).must().half()
	}
	fm.ask("technique", "Technique").hint("pigment print, etching").half()
	unit := "a number alone is in " + unitWord(set.Units)
	fm.ask("width", "Width of the sheet").must().hint(unit)
	fm.ask("height", "Height of the sheet").must().hint(unit)
	fm.ask("grade", "Grade").of(gradeChoices(set)...).must()
	known := []choice{{"", "another one"}}
	for i, pp := range set.Papers {
		known = append(known, choice{strconv.Itoa(i + 1), pp.Grammage.Beside(pp.Name)})
	}
	if len(set.Papers) > 0 {
		fm.ask("known_paper", "Paper").of(known...).half().hint("fills in what is left empty after it")
	} else {
		fm.ask("known_paper", "").as("hidden")
	}
	fm.ask("paper", "Paper, if another").half()
	fm.ask("grammage", "Grammage").hint("310 gsm, or 80 lb cover")
	fm.ask("caliper", "Thickness of the sheet").hint("20 pt, or 0.5 mm")
	fm.ask("tightest_roll", "Tightest roll").hint("inner diameter, such as 3 in; empty: never rolled")
	fm.ask("limit", "Limit").mode("numeric").hint("how many are numbered; 0 or empty: an open edition")
	for _, k := range edition.Kinds()[1:] {
		fm.ask(proofField(k), string(k)).mode("numeric").hint(strings.ToLower(kindHead(k))).small()
	}
	fm.ask("price", "Price at first").mode("decimal").must()
	fm.ask("print_cost", "Cost of a sheet from the lab").mode("decimal").hint("empty: not known")
	askSteps(fm, nil)
	return fm
}

// unitWord names the unit that a length typed without one has.
func unitWord(u measure.System) string {
	if u == measure.Metric {
		return "millimetres"
	}
	return "inches"
}

func proofField(k edition.Kind) string {
	return map[edition.Kind]string{edition.AP: "ap", edition.PP: "pp", edition.HC: "hc", edition.BAT: "bat"}[k]
}

func gradeChoices(set studio.Settings) []choice {
	out := []choice{}
	for _, g := range set.Grades {
		out = append(out, choice{g, g})
	}
	if len(out) == 0 {
		out = append(out, choice{"standard", "standard"}, choice{"fine", "fine"})
	}
	return out
}

// readEdition turns the form into an edition; prices are in the studio's currency.
func readEdition(rd *reader, set studio.Settings) edition.Edition {
	e := edition.Edition{
		Technique: rd.text("technique"), Width: rd.length("width", set.Units), Height: rd.length("height", set.Units), Grade: rd.text("grade"),
		Paper: rd.text("paper"), Grammage: rd.grammage("grammage"), Caliper: rd.length("caliper", set.Units), TightestRoll: rd.length("tightest_roll", set.Units),
		Limit: rd.whole("limit"), Proofs: edition.Proofs{AP: rd.whole("ap"), PP: rd.whole("pp"), HC: rd.whole("hc"), BAT: rd.whole("bat")},
		Price: rd.amount("price", set.Currency), PrintCost: rd.amount("print_cost", set.Currency), Steps: readSteps(rd, set.Currency),
	}
	if rd.form.find("work") != nil {
		e.Work = rd.id("work")
	}
	if i := rd.id("known_paper"); i > 0 && int(i) <= len(set.Papers) {
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

func (f *face) declareFormNow(r *http.Request) (*form, studio.Settings, error) {
	set, err := f.studio.Settings(r.Context())
	if err != nil {
		return nil, set, err
	}
	works, err := f.studio.Works(r.Context())
	if err != nil {
		return nil, set, err
	}
	if works == nil {
		works = []studio.WorkView{}
	}
	return declareForm("declare", "/editions", works, set), set, nil
}

func (f *face) newEdition(w http.ResponseWriter, r *http.Request) error {
	fm, _, err := f.declareFormNow(r)
	if err != nil {
		return err
	}
	fm.find("work").is(r.URL.Query().Get("work"))
	return f.showForm(w, r, "editions", "Declare an edition", declareWords, "Declare the edition", link{"/editions", "Editions"}, fm, nil)
}

func (f *face) declare(w http.ResponseWriter, r *http.Request) error {
	fm, set, err := f.declareFormNow(r)
	if err != nil {
		return err
	}
	fm.read(r.PostForm)
	rd := fm.reader()
	e := readEdition(rd, set)
	if err = rd.Err(); err != nil {
		err = once(errors.Join(err, e.Validate())) // all that is wrong at once
	} else {
		e, err = f.studio.Declare(r.Context(), e)
	}
	if err != nil {
		if ours(err) {
			return err
		}
		return f.showForm(w, r, "editions", "Declare an edition", declareWords, "Declare the edition", link{"/editions", "Editions"}, fm, failed(fm, r, err))
	}
	return f.doneSaying(w, r, fmt.Sprintf("/editions/%d", e.ID), "declared")
}

// priced shows an amount of the studio's currency, or nothing for none.
func priced(fd *field, a money.Amount) {
	if !a.IsZero() {
		fd.money(a)
	}
}
