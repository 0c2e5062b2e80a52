package house

import (
	"errors"
	"fmt"
	"log/slog"
	"net/http"
	"slices"
	"strconv"

	"solander/edition"
	"solander/fault"
	"solander/house"
	"solander/measure"
	"solander/order"
	"solander/record"
	"solander/web/catalogue"
	"solander/web/form"
	"solander/web/page"
)

// SetUpPage is one step of the first set-up. What was typed in the other steps travels along hidden, so
// that nothing is kept before the last step and no script is needed.
type SetUpPage struct {
	page.Frame
	Lookable bool // the invented studio can be opened from here
	Form     *form.Form
	Bring    *form.Form // in the first step: a studio from another computer instead
	Step     int
	Steps    []setUpStep
	Last     bool
	Shelf    []shelfPicks // in the last step: what is proposed first, then the rest by kind
	Ring     bool         // in the last step: this computer may have a keyring
	ByRing   bool         // it was ticked that the keyring opens the register's key
	Again    bool         // a passphrase was typed, which no page sends back
}

// What the last step asks about the register's key.
const keyPassphrase, keyByRing = "register_passphrase", "register_keyring"

// setUpStep is a step by name.
type setUpStep struct {
	Name string
	Here bool
}

// shelfPicks are rows of the offered shelf under one heading.
type shelfPicks struct {
	Head     string
	Proposed bool // for the first edition
	Open     bool // not folded: it is proposed, something of it is typed, or nothing is proposed
	Picks    []shelfPick
}

// shelfPick is a row of the offered shelf.
type shelfPick struct {
	Name       string
	Use, Stock *form.Field
	Offered    *form.Field // the count that was proposed, hidden
}

var setUpSteps = []string{"Studio and address", "Outlets", "First work and edition", "Shelf"}

// stepNone is the step of what travels along and is asked in no step.
const stepNone = -1

const (
	stepStudio = iota + 1
	stepOutlets
	stepEdition
	stepShelf
)

// mostOutlets is how many outlets set-up asks for; more are added later.
const mostOutlets = 3

// setUpForm lays out every field of every step.
func setUpForm(in *house.SetUpIn) *form.Form {
	fm := form.New("setup", "/set-up")
	at := func(step int) {
		for _, fd := range fm.Fields() {
			if fd.Step == 0 {
				fd.Step = step
			}
		}
	}
	askSettings(fm, &in.Settings)
	fm.Find("feeds_a_minute").Step = stepNone // nobody knows yet what a feed is
	at(stepStudio)
	askOutlets(fm, in)
	at(stepOutlets)
	askFirst(fm, in)
	at(stepEdition)
	askShelf(fm, in)
	at(stepShelf)
	return fm
}

func askOutlets(fm *form.Form, in *house.SetUpIn) {
	for i := range mostOutlets {
		at, u := fmt.Sprintf("outlets[%d].", i), order.Outlet{PromiseDays: 3}
		if i < len(in.Outlets) {
			u = in.Outlets[i]
		}
		fm.When(func() bool { return i == 0 || fm.Typed(at+"name") }, func() {
			askOutlet(fm, at, &u, in.Settings.Currency)
			fm.Then(func(l *fault.List) {
				for _, e := range fault.All(u.Validate()) {
					l.Add(e.In(at + e.Field))
				}
				in.Outlets = append(in.Outlets, u)
			})
		})
		name := fm.Find(at + "name")
		name.Label, name.Required = fmt.Sprintf("Name of outlet %d", i+1), i == 0
		if i > 0 {
			name.WithHint("empty: no further one")
		}
	}
}

// askFirst asks for the first work and edition; both may wait.
func askFirst(fm *form.Form, in *house.SetUpIn) {
	fm.Text("title", "Title of the work", &in.Work.Title).WithHint("empty: later").Half()
	fm.Whole("year", "Year", &in.Work.Year).OrEmpty()
	before := len(fm.Fields())
	fm.When(func() bool { return fm.Typed("title") && fm.Typed("width", "height") }, func() {
		catalogue.AskEdition(fm, &in.Edition, in.Settings)
		for _, fd := range fm.Fields()[before:] {
			fd.Required = false
		}
		fm.Whole("sheets", "Sheets in the drawer already", &in.Sheets).OrEmpty().WithHint("empty: none")
	})
}

func askShelf(fm *form.Form, in *house.SetUpIn) {
	offered, units := in.Shelf, in.Settings.Units
	in.Shelf = nil
	for i, it := range offered {
		use, stock := false, shelfField(units, i, "stock")
		fm.Tick(shelfField(units, i, "use"), it.Spec.Name, &use)
		count := fm.Whole(stock, "On hand: "+it.Spec.Name, &it.Stock).OrEmpty()
		offered := fm.Ask(shelfField(units, i, "offered"), "").As("hidden")
		fm.Then(func(l *fault.List) {
			l.Check(it.Stock >= 0, stock, "it is negative", "count the pieces")
			if use || it.Stock > 0 && count.Value != offered.Value { // a count of her own says that it is used; the proposed one does not
				in.Shelf = append(in.Shelf, it)
			}
		})
	}
}

// shelfField names a field of an offered item; those of the other units are others, so that what was ticked of them is not taken for these.
func shelfField(u measure.System, i int, part string) string {
	if u == measure.Metric {
		return fmt.Sprintf("shelf_mm[%d].%s", i, part)
	}
	return fmt.Sprintf("shelf[%d].%s", i, part)
}

// propose fills the count of packaging in, unless she typed one of her own or ticked it.
func (s *shelfPick) propose(count string) {
	if s.Stock.Value == "" && !s.Use.Checked() || s.Stock.Value == s.Offered.Value && !s.Use.Checked() {
		s.Stock.Value = count
	}
	s.Offered.Value = count
}

func (f *House) SetUp(w http.ResponseWriter, r *http.Request) error {
	if page.Settings(r).Ready() {
		http.Redirect(w, r, "/", http.StatusSeeOther)
		return nil
	}
	in := house.Defaults(measure.Imperial)
	return f.showSetUp(w, r, setUpForm(&in), stepStudio, in.Edition, nil)
}

func (f *House) showSetUp(w http.ResponseWriter, r *http.Request, fm *form.Form, step int, first edition.Edition, fail *page.Failure) error {
	useAll := r.PostForm.Get("go") == "use"

	fr, err := f.Frame(r, "", "Set up the studio")
	if err != nil {
		return err
	}
	p := &SetUpPage{Frame: fr, Form: fm, Step: step, Last: step == stepShelf, Lookable: f.Invented != nil && step == stepStudio}
	p.Tell(fail)
	p.Put(fm, fail)
	if step == stepStudio {
		p.Bring = p.Put(bringForm(new(string)), fail)
	}
	for i, name := range setUpSteps {
		p.Steps = append(p.Steps, setUpStep{name, i+1 == step})
	}
	d := house.Defaults(measure.System(fm.Find("units").Value)) // as chosen in the first step
	for _, side := range []string{"width", "height"} {
		fm.Find(side).WithHint("a number alone is in " + form.UnitWord(d.Settings.Units))
	}
	if p.Last {
		p.Ring, p.ByRing, p.Again = record.RingThere(f.Studio), r.PostForm.Get(keyByRing) != "", r.PostForm.Get(keyPassphrase) != ""
		d.Edition = first
		for _, g := range house.Offered(d, d.Shelf) {
			picks := shelfPicks{Head: g.Head, Proposed: g.Proposed, Open: g.Proposed || first.Width == 0}
			for _, at := range g.Items {
				it, count := d.Shelf[at], ""
				pick := shelfPick{it.Spec.Name, fm.Find(shelfField(d.Settings.Units, at, "use")), fm.Find(shelfField(d.Settings.Units, at, "stock")), fm.Find(shelfField(d.Settings.Units, at, "offered"))}
				if g.Proposed {
					count = strconv.Itoa(house.Count(it))
				}
				pick.propose(count)
				if g.Proposed && useAll {
					pick.Use.Value = "1"
				}
				picks.Open = picks.Open || pick.Use.Checked() || pick.Stock.Value != count
				picks.Picks = append(picks.Picks, pick)
			}
			p.Shelf = append(p.Shelf, picks)
		}
	}
	return f.Show(w, r, page.StatusOf(fail), "setup", p)
}

// Shows reports whether a field belongs to the step shown.
func (p *SetUpPage) Shows(fd *form.Field) bool { return fd.Step == p.Step }

// Further reports whether the step has fields that stand apart.
func (p *SetUpPage) Further() bool {
	return p.Form.Has() && slices.ContainsFunc(p.Form.Apart(), func(fd *form.Field) bool { return p.Shows(fd) })
}

// SaveSetUp goes a step on or back, or, at the end, opens the studio.
func (f *House) SaveSetUp(w http.ResponseWriter, r *http.Request) error {
	in := house.Defaults(measure.System(r.PostForm.Get("units")))
	fm := setUpForm(&in)
	fm.Read(r.PostForm)
	step, err := strconv.Atoi(r.PostForm.Get("step"))
	if err != nil || step < stepStudio || step > stepShelf {
		return fault.Invalidf("step", "%.20q is not a step of the set-up", r.PostForm.Get("step")).ToMend("start again from the first step")
	}
	if r.PostForm.Get("go") == "back" {
		return f.showSetUp(w, r, fm, max(stepStudio, step-1), in.Edition, nil)
	}
	for s := stepStudio; s <= step; s++ { // earlier steps again: what travels hidden may be changed on its way
		if err := takeStep(fm, s, &in); err != nil {
			return f.showSetUp(w, r, fm, s, in.Edition, page.Failed(fm, r, err))
		}
		if s == stepStudio { // what follows is in the currency and the units chosen
			in.Outlets, in.Shelf = nil, house.Defaults(in.Settings.Units).Shelf
			fm = setUpForm(&in)
			fm.Read(r.PostForm)
		}
	}
	if step < stepShelf {
		return f.showSetUp(w, r, fm, step+1, in.Edition, nil)
	}
	if r.PostForm.Get("go") == "use" { // all that is proposed is ticked, to be looked at
		return f.showSetUp(w, r, fm, step, in.Edition, nil)
	}
	today, err := house.Today(r.Context(), f.Studio)
	if err != nil {
		return err
	}
	if in.Settings.Rules, _, err = f.Studio.RulesByCards(in.Settings, today); err != nil {
		return err
	}
	in, _ = in.Follow() // on the page of the wraps she sees what is left
	if err := house.SetUp(r.Context(), f.Studio, in); err != nil {
		return f.ShowAgain(w, r, fm.Name, err, func(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
			return f.showSetUp(w, r, fm, f.stepOf(fm, err), in.Edition, fail)
		})
	}
	if err := record.MakeKey(r.Context(), f.Studio, r.PostForm.Get(keyPassphrase)); err != nil {
		slog.WarnContext(r.Context(), "the register has no key yet", "error", err) // the studio stands, and the page of the register says it
	} else if r.PostForm.Get(keyByRing) != "" {
		if err := record.ToKeyring(r.Context(), f.Studio, r.PostForm.Get(keyPassphrase)); err != nil {
			return f.DoneSaying(w, r, "/", "readynoring")
		}
	}
	if len(in.Shelf) == 0 {
		return f.DoneSaying(w, r, "/", "readybare")
	}
	return f.DoneSaying(w, r, "/", "ready")
}

// stepOf finds the step whose field a fault names; the last one when it names none.
func (f *House) stepOf(fm *form.Form, err error) int {
	for _, e := range fault.All(err) {
		if fd := fm.FieldOf(e.Field); fd != nil {
			return fd.Step
		}
	}
	return stepShelf
}

// takeStep takes one step into the set-up and checks it alone.
func takeStep(fm *form.Form, step int, in *house.SetUpIn) error {
	err := fm.TakeStep(step)
	switch step {
	case stepStudio:
		if err = errors.Join(fm.TakeStep(stepNone), err); err == nil {
			err = in.Settings.Validate()
		}
	case stepOutlets:
		err = form.Once(err)
	case stepEdition:
		err = checkFirst(fm, in, err)
	}
	return err
}

// checkFirst checks the first work and edition as they were taken.
func checkFirst(fm *form.Form, in *house.SetUpIn, err error) error {
	var l fault.List
	l.Add(err)
	if in.Work.Title == "" {
		l.Check(!fm.Typed("width"), "title", "the edition has no work", "give the title, or leave the size empty, too")
		in.Work = edition.Work{}
		return l.Err()
	}
	l.Add(in.Work.Validate())
	l.Check(in.Sheets >= 0, "sheets", "it is negative", "count the sheets")
	if l.Err() != nil || !fm.Typed("width", "height") {
		return l.Err()
	}
	checked := in.Edition
	checked.Work = 1 // it has none yet: SetUp gives it
	return checked.Validate()
}
