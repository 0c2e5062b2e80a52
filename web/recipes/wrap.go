package recipes

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strconv"

	"solander/fault"
	"solander/house"
	"solander/measure"
	"solander/money"
	"solander/packing"
	"solander/papers"
	"solander/papers/wrap"
	"solander/stockroom"
	"solander/studio"
	"solander/suppose"
	"solander/web/form"
	"solander/web/page"
)

// WrapPage is the editor of one wrap, with the parcel that it makes drawn beside.
type WrapPage struct {
	page.Frame
	Was    string // its key; "" = a new one
	Form   *form.Form
	Layers []LayerRow
	New    []form.Choice // kinds that a layer may be added of
	Added  string        // the kind chosen last
	Trial  *wrapTrial
	Stands *wrapLine // what another window saved meanwhile
	Focus  string    // the button or row under her hands, by name
}

// wrapTrial is the parcel of an example.
type wrapTrial struct {
	Sample   *form.Form
	Problems []form.Line // why nothing is drawn yet
	Held     string      // why no parcel can be made
	Cost     money.Amount
	Parcels  int
	Steps    []wrap.Step
	Cautions []string
	Drawings []*page.Drawing
}

// Wrap shows the editor: of a wrap, by ?id=, or of a new one.
func (f *Recipes) Wrap(w http.ResponseWriter, r *http.Request) error {
	set, id := page.Settings(r), r.URL.Query().Get("id")
	wr := packing.Wrap{Shape: packing.Flat, Layers: []packing.Layer{{Kind: packing.Sleeve, Per: packing.PerSheet}, {Kind: packing.Envelope}}}
	if id != "" {
		i := indexOf(set.Wraps, id)
		if i < 0 {
			return noWrap(id)
		}
		wr = set.Wraps[i]
	}
	return f.showWrap(w, r, draft{wrap: wr})
}

func noWrap(id string) error {
	return fault.New(fault.Missing, "there is no wrap %.60q", id).ToMend("choose one of the list")
}

func indexOf(wraps []packing.Wrap, id string) int {
	return slices.IndexFunc(wraps, func(w packing.Wrap) bool { return w.ID == id })
}

// draft is a wrap in its form: as it stands, or as it was typed so far.
type draft struct {
	wrap  packing.Wrap
	typed url.Values // nil: as it stands
	focus string
	err   error
}

func (f *Recipes) showWrap(w http.ResponseWriter, r *http.Request, d draft) error {
	return f.Visit(w, r, func(w http.ResponseWriter, r *http.Request) error { return f.seeWrap(w, r, d) })
}

func (f *Recipes) seeWrap(w http.ResponseWriter, r *http.Request, d draft) error {
	title := "New wrap"
	if d.wrap.ID != "" {
		title = "Wrap: " + cmp.Or(d.wrap.Name, d.typed.Get("name"), d.wrap.ID)
	}
	fr, err := f.Frame(r, "studio", title)
	if err != nil {
		return err
	}
	shelf, err := stockroom.Shelf(r.Context(), f.Seen(r))
	if err != nil {
		return err
	}
	p := &WrapPage{Frame: fr, Was: d.wrap.ID, New: KindChoices, Added: cmp.Or(d.typed.Get("layers.new"), string(packing.Board)), Focus: d.focus}
	p.Form, p.Layers = wrapForm(&d.wrap, shelf, fr.Units)
	var fail *page.Failure
	switch {
	case d.err != nil:
		fail = &page.Failure{Form: p.Form.Name, Typed: d.typed, Err: d.err}
		p.Put(p.Form, fail)
	case d.typed != nil:
		p.Form.Read(d.typed)
	}
	p.Form.Focus(d.focus)
	Choose(p.Layers)
	if moved := new(form.MovedOn); errors.As(d.err, &moved) {
		set, err := f.Seen(r).Settings(r.Context())
		if err != nil {
			return err
		}
		if i := indexOf(set.Wraps, d.wrap.ID); i >= 0 {
			now := wrapLineOf(set.Wraps[i], fr.Units, names(shelf))
			p.Stands = &now
		}
	}
	trial, err := f.tryWrap(r, d, shelf, p.Form)
	if err != nil {
		return err
	}
	return page.After(w, r, func(w http.ResponseWriter) (err error) {
		if p.Trial, err = trial(r.Context()); err != nil {
			return err
		}
		return f.Show(w, r, page.StatusOf(fail), "wrap", p)
	})
}

// tryWrap reads what the example follows from; it is planned later, unless something of the draft cannot be read.
func (f *Recipes) tryWrap(r *http.Request, d draft, shelf []studio.ShelfItem, fm *form.Form) (studio.Later[*wrapTrial], error) {
	units, made := page.Settings(r).Units, d.wrap
	var err error
	if d.typed != nil {
		typed := maps.Clone(d.typed)
		typed.Set("name", cmp.Or(typed.Get("name"), "draft")) // it is drawn before it has a name
		made, err = readWrap(typed, shelf, units)
	}
	made.ID = cmp.Or(made.ID, "draft")
	in := suppose.WrapIn{Wrap: made}
	in.Edition, _ = strconv.ParseInt(d.typed.Get("sample.edition"), 10, 64) // none: the first
	in.Prints, _ = strconv.Atoi(d.typed.Get("sample.prints"))
	tried, plan, wrong := suppose.TryWrapLater(r.Context(), f.Seen(r), in)
	if err = errors.Join(err, wrong); err != nil && page.Ours(err) {
		return nil, err
	}
	t := &wrapTrial{Sample: sampleForm(tried, units)}
	if err != nil {
		t.Problems = form.LinksOf(fault.All(placeless(err)), fm)
		return func(context.Context) (*wrapTrial, error) { return t, nil }, nil
	}
	return func(ctx context.Context) (*wrapTrial, error) {
		tried, err := plan(ctx)
		if err == nil {
			t.draw(tried, made, units)
		}
		return t, err
	}, nil
}

// draw draws the first parcel of the example.
func (t *wrapTrial) draw(tried suppose.WrapTried, made packing.Wrap, units measure.System) {
	t.Held, t.Cost, t.Parcels = tried.Held, tried.Cost, len(tried.Plan.Parcels)
	if t.Held != "" || t.Parcels == 0 {
		return
	}
	sheets, called := tried.Problem.Orders[0].Sheets, map[string]string{}
	for _, s := range sheets {
		called[s.ID] = s.Note
	}
	sheet := wrap.Of(papers.Head{Units: units}, tried.Plan.Parcels[0], wrap.In{Wrap: made, Items: tried.Problem.Shelf, Sheets: sheets, Prints: called})
	t.Steps, t.Cautions, t.Drawings = sheet.Steps, sheet.Cautions, page.DrawAll(sheet.Views)
}

// placeless leaves out in which wrap a fault is: the page has but one.
func placeless(err error) error {
	var l fault.List
	for _, e := range fault.All(err) {
		l.Add(e.At(""))
	}
	return l.Err()
}

// sampleForm asks on what the wrap is drawn; it is no part of the wrap.
func sampleForm(t suppose.WrapTried, u measure.System) *form.Form {
	fm := form.New("sample", "")
	var of []form.Choice
	for _, e := range t.Editions {
		of = append(of, form.PickID(e.ID, fmt.Sprintf("%s, %s", e.Size(u), e.Title)))
	}
	if len(of) > 0 {
		fm.ID("sample.edition", "Drawn for a print of", &t.Edition, of...)
	}
	if t.Prints == 0 {
		t.Prints = 1
	}
	fm.Whole("sample.prints", "How many", &t.Prints)
	return fm
}

// SaveWrap does what the button says: it saves or takes out the wrap, or only shows the draft anew.
func (f *Recipes) SaveWrap(w http.ResponseWriter, r *http.Request) error {
	do := r.PostForm.Get("do")
	switch do {
	case "save":
		return f.keepWrap(w, r)
	case "take-out":
		return f.takeWrapOut(w, r)
	}
	d := draft{typed: r.PostForm}
	if deed, ok := form.DeedOf(do); ok && deed.List == "layers" {
		d.typed = deed.On(r.PostForm, "kind")
		d.focus = deed.Focus(form.Rows(d.typed, "layers"))
	}
	d.wrap = TypedWrap(d.typed)
	return f.showWrap(w, r, d)
}

func (f *Recipes) keepWrap(w http.ResponseWriter, r *http.Request) error {
	units := page.Settings(r).Units
	shelf, err := stockroom.Shelf(r.Context(), f.Studio)
	if err != nil {
		return err
	}
	made, err := readWrap(r.PostForm, shelf, units)
	at := -1
	if err == nil {
		err = house.ChangeSettings(r.Context(), f.Studio, func(set *studio.Settings) error {
			set.Wraps = slices.Clone(set.Wraps)
			at, err = putWrap(set, made, r.PostForm, shelf)
			return err
		})
	}
	if err != nil {
		if page.Ours(err) {
			return err
		}
		return f.showWrap(w, r, draft{wrap: TypedWrap(r.PostForm), typed: r.PostForm, err: BesideBoxes(above(err, fmt.Sprintf("wraps[%d].", at)), made)})
	}
	return f.DoneSaying(w, r, "/studio/wraps", "wrap")
}

// BesideBoxes puts faults in a piece of packaging that a layer names beside its box.
func BesideBoxes(err error, made packing.Wrap) error {
	if moved := new(form.MovedOn); errors.As(err, &moved) {
		return err
	}
	var l fault.List
	for _, e := range fault.All(err) {
		var i, j int
		if n, _ := fmt.Sscanf(e.Field, "layers[%d].items[%d]", &i, &j); n == 2 && i < len(made.Layers) && j < len(made.Layers[i].Items) {
			e = e.In(fmt.Sprintf("layers[%d].items.%s", i, made.Layers[i].Items[j]))
		}
		l.Add(e)
	}
	return l.Err()
}

// putWrap puts the wrap in the place of the one that it was made of, or at the end. Faults: Taken when that one was changed or
// taken out in another window.
func putWrap(set *studio.Settings, made packing.Wrap, typed url.Values, shelf []studio.ShelfItem) (at int, err error) {
	if made.ID == "" {
		made.ID = keyOf(made.Name, func(key string) bool { return indexOf(set.Wraps, key) >= 0 })
		set.Wraps = append(set.Wraps, made)
		return len(set.Wraps) - 1, nil
	}
	at = indexOf(set.Wraps, made.ID)
	if at < 0 {
		return at, fault.New(fault.Taken, "this wrap was taken out in another window since the page was opened").
			ToMend("look at the list; what you typed still stands here")
	}
	now := set.Wraps[at]
	now.Layers = slices.Clone(now.Layers)
	stands, _ := wrapForm(&now, shelf, set.Units)
	if err := stands.StillAsRows(typed); err != nil {
		return at, err
	}
	set.Wraps[at] = made
	return at, nil
}

// above is a fault of the settings as the form of a part of them sees it, without the place that the page names itself.
func above(err error, path string) error {
	if moved := new(form.MovedOn); errors.As(err, &moved) {
		return err
	}
	return placeless(fault.Above(err, path))
}

func (f *Recipes) takeWrapOut(w http.ResponseWriter, r *http.Request) error {
	shelf, err := stockroom.Shelf(r.Context(), f.Studio)
	if err != nil {
		return err
	}
	id := r.PostForm.Get("was")
	err = house.ChangeSettings(r.Context(), f.Studio, func(set *studio.Settings) error {
		at := indexOf(set.Wraps, id)
		if at < 0 {
			return noWrap(id)
		}
		now := set.Wraps[at]
		now.Layers = slices.Clone(now.Layers)
		if stands, _ := wrapForm(&now, shelf, set.Units); stands.Find("stood").Value != r.PostForm.Get("stood") {
			return fault.New(fault.Taken, "this wrap was changed in another window since the page was opened").ToMend("look at it as it stands now")
		}
		for _, x := range set.Rules {
			if slices.Contains(x.Then.OnlyWraps, id) || slices.Contains(x.Then.NotWraps, id) {
				return fault.New(fault.Refused, "the house rule “%s” names this wrap", set.RuleText(x)).ToMend("change or take out the rule first")
			}
		}
		set.Wraps = slices.Delete(slices.Clone(set.Wraps), at, at+1)
		return nil
	})
	if err != nil {
		if page.Ours(err) {
			return err
		}
		return f.showWrap(w, r, draft{wrap: TypedWrap(r.PostForm), typed: r.PostForm, err: err})
	}
	return f.DoneSaying(w, r, "/studio/wraps", "wrap-gone")
}
