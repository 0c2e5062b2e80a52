package house

import (
	"fmt"
	"net/http"
	"strconv"

	"solander/edition"
	"solander/fault"
	"solander/house"
	"solander/measure"
	"solander/order"
	"solander/web/catalogue"
	"solander/web/form"
	"solander/web/page"
)

// SetUpPage is one step of the first set-up. What was typed in the other steps travels along hidden, so
// that nothing is kept before the last step and no script is needed.
type SetUpPage struct {
	page.Frame
	Form  *form.Form
	Step  int
	Steps []setUpStep
	Last  bool
	Shelf []shelfPick // in the last step
}

// setUpStep is a step by name.
type setUpStep struct {
	Name string
	Here bool
}

// shelfPick is a row of the offered shelf.
type shelfPick struct {
	Name, Size string
	Use, Stock *form.Field
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
func setUpForm(d house.SetUpIn) *form.Form {
	fm := form.New("setup", "/set-up")
	at := func(step int) {
		for _, fd := range fm.Fields() {
			if fd.Step == 0 {
				fd.Step = step
			}
		}
	}
	askSettings(fm, d.Settings)
	fm.Find("feeds_a_minute").Step = stepNone // nobody knows yet what a feed is
	at(stepStudio)
	for i := range mostOutlets {
		u := order.Outlet{PromiseDays: 3}
		if i < len(d.Outlets) {
			u = d.Outlets[i]
		}
		askOutlet(fm, fmt.Sprintf("outlets[%d].", i), u, d.Settings.Currency)
		name := fm.Find(fmt.Sprintf("outlets[%d].name", i))
		name.Label, name.Required = fmt.Sprintf("Name of outlet %d", i+1), i == 0
		if i > 0 {
			name.WithHint("empty: no further one")
		}
	}
	at(stepOutlets)
	fm.Ask("title", "Title of the work").WithHint("empty: later").Half()
	fm.Ask("year", "Year").WithMode("numeric")
	for _, fd := range catalogue.DeclareForm("setup", "", nil, d.Settings).Fields() {
		fd.Required = false
		fm.Add(fd)
	}
	fm.Ask("sheets", "Sheets in the drawer already").WithMode("numeric").WithHint("empty: none")
	at(stepEdition)
	for i, it := range d.Shelf {
		fm.Ask(fmt.Sprintf("shelf[%d].use", i), it.Spec.Name).As("check").Is("1")
		fm.Ask(fmt.Sprintf("shelf[%d].stock", i), "On hand: "+it.Spec.Name).WithMode("numeric").Whole(it.Stock)
	}
	at(stepShelf)
	return fm
}

func (f *House) SetUp(w http.ResponseWriter, r *http.Request) error {
	if page.Settings(r).Ready() {
		http.Redirect(w, r, "/", http.StatusSeeOther)
		return nil
	}
	return f.showSetUp(w, r, setUpForm(house.Defaults(f.Studio)), stepStudio, nil)
}

func (f *House) showSetUp(w http.ResponseWriter, r *http.Request, fm *form.Form, step int, fail *page.Failure) error {
	fr, err := f.Frame(r, "", "Set up the studio")
	if err != nil {
		return err
	}
	p := &SetUpPage{Frame: fr, Form: fm, Step: step, Last: step == stepShelf}
	p.Tell(fail)
	p.Put(fm, fail)
	for i, name := range setUpSteps {
		p.Steps = append(p.Steps, setUpStep{name, i+1 == step})
	}
	d, units := house.Defaults(f.Studio), measure.System(fm.Find("units").Value) // as chosen in the first step
	for _, side := range []string{"width", "height"} {
		fm.Find(side).WithHint("a number alone is in " + form.UnitWord(units))
	}
	for i, it := range d.Shelf {
		p.Shelf = append(p.Shelf, shelfPick{it.Spec.Name, page.ItemSize(it.Spec, units), fm.Find(fmt.Sprintf("shelf[%d].use", i)), fm.Find(fmt.Sprintf("shelf[%d].stock", i))})
	}
	return f.Show(w, r, page.StatusOf(fail), "setup", p)
}

// Shows reports whether a field belongs to the step shown.
func (p *SetUpPage) Shows(fd *form.Field) bool { return fd.Step == p.Step }

// SaveSetUp goes a step on or back, or, at the end, opens the studio.
func (f *House) SaveSetUp(w http.ResponseWriter, r *http.Request) error {
	d := house.Defaults(f.Studio)
	fm := setUpForm(d)
	fm.Read(r.PostForm)
	step, err := strconv.Atoi(r.PostForm.Get("step"))
	if err != nil || step < stepStudio || step > stepShelf {
		return fault.Invalidf("step", "%.20q is not a step of the set-up", r.PostForm.Get("step")).ToMend("start again from the first step")
	}
	if r.PostForm.Get("go") == "back" {
		return f.showSetUp(w, r, fm, max(stepStudio, step-1), nil)
	}
	in := d
	for s := stepStudio; s <= step; s++ { // earlier steps again: what travels hidden may be changed on its way
		if err := readStep(fm, s, d, &in); err != nil {
			return f.showSetUp(w, r, fm, s, page.Failed(fm, r, err))
		}
	}
	if step < stepShelf {
		return f.showSetUp(w, r, fm, step+1, nil)
	}
	if err := house.SetUp(r.Context(), f.Studio, in); err != nil {
		if page.Ours(err) {
			return err
		}
		return f.showSetUp(w, r, fm, f.stepOf(fm, err), page.Failed(fm, r, err))
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

// readStep reads one step into the set-up and checks it alone.
func readStep(fm *form.Form, step int, d house.SetUpIn, in *house.SetUpIn) error {
	rd := fm.Reader()
	switch step {
	case stepStudio:
		in.Settings = readSettings(rd, d.Settings)
		if err := rd.Err(); err != nil {
			return err
		}
		return in.Settings.Validate()
	case stepOutlets:
		return readOutlets(rd, in)
	case stepEdition:
		return readFirst(rd, in)
	}
	in.Shelf = nil
	for i, it := range d.Shelf {
		it.Stock = rd.Whole(fmt.Sprintf("shelf[%d].stock", i))
		rd.Check(it.Stock >= 0, fmt.Sprintf("shelf[%d].stock", i), "it is negative", "count the pieces")
		if rd.Ticked(fmt.Sprintf("shelf[%d].use", i)) {
			in.Shelf = append(in.Shelf, it)
		}
	}
	return rd.Err()
}

func readOutlets(rd *form.Reader, in *house.SetUpIn) error {
	in.Outlets = nil
	for i := range mostOutlets {
		at := fmt.Sprintf("outlets[%d].", i)
		if i > 0 && rd.Form.Find(at+"name").Value == "" {
			continue
		}
		u := readOutlet(rd, at, order.Outlet{}, in.Settings.Currency)
		for _, e := range fault.All(u.Validate()) {
			rd.Add(e.In(at + e.Field))
		}
		in.Outlets = append(in.Outlets, u)
	}
	return form.Once(rd.Err())
}

// readFirst reads the first work and edition; both may wait.
func readFirst(rd *form.Reader, in *house.SetUpIn) error {
	in.Work = edition.Work{Title: rd.Text("title"), Year: rd.Whole("year")}
	in.Edition = edition.Edition{}
	if in.Work.Title == "" {
		rd.Check(rd.Form.Find("width").Value == "", "title", "the edition has no work", "give the title, or leave the size empty, too")
		in.Work, in.Sheets = edition.Work{}, 0
		return rd.Err()
	}
	rd.Add(in.Work.Validate())
	if rd.Form.Find("width").Value == "" && rd.Form.Find("height").Value == "" {
		return rd.Err()
	}
	in.Edition, in.Sheets = catalogue.ReadEdition(rd, in.Settings), rd.Whole("sheets")
	rd.Check(in.Sheets >= 0, "sheets", "it is negative", "count the sheets")
	if err := rd.Err(); err != nil {
		return err
	}
	checked := in.Edition
	checked.Work = 1 // it has none yet: SetUp gives it
	return checked.Validate()
}
