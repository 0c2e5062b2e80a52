package programs

import (
	"encoding/json"
	"errors"
	"fmt"
	"net/http"

	"solander/fault"
	"solander/feeds"
	"solander/house"
	"solander/money"
	"solander/order"
	"solander/studio"
	"solander/web/form"
	"solander/web/page"
)

// HookMappingPage shows a mapping, and what it makes of a sample.
type HookMappingPage struct {
	page.Frame
	ID    int64 // 0: a new one
	Form  *form.Form
	Trial *trialView
}

// trialView is the order that a message would become.
type trialView struct {
	Passed string
	Order  feeds.FeedOrder
	Lines  []trialLine
}

type trialLine struct {
	Label, Title string
	Price        money.Amount
}

// FirstMapping stands in the form of a new mapping, to be changed.
const FirstMapping = `{
  "format": "solander-hook/1",
  "order": {
    "ref": "/id",
    "placed": "/created",
    "buyer.name": "{/customer/first} {/customer/last}",
    "buyer.email": "/customer/email",
    "ship_to.line1": "/address/street",
    "ship_to.city": "/address/city",
    "ship_to.region": "/address/state",
    "ship_to.postcode": "/address/zip",
    "ship_to.country": "/address/country",
    "postage": "/shipping",
    "paid": "/total"
  },
  "lines": "/items",
  "line": {"edition": "/sku", "price": "/price", "quantity": "/quantity"},
  "editions": {"HERON-12x16": 1}
}`

// sample is a message, tried out as if it came from an outlet; it is taken only when it is asked.
type sample struct {
	asked  bool
	text   string
	outlet int64
}

func mappingForm(outlets []order.Outlet, m *studio.HookMapping, try *sample) *form.Form {
	to := "/studio/hook-mappings"
	if m.ID != 0 {
		to = fmt.Sprintf("/studio/hook-mappings/%d", m.ID)
	}
	fm := form.New("map", to)
	fm.Text("name", "Name", &m.Name).Must().Half()
	fm.Bind("mapping", "The mapping as JSON", string(m.Body), func(typed string) error { m.Body = json.RawMessage(typed); return nil }).As("code").Must().Wide().
		WithHint("where each field stands in a message: a JSON Pointer such as /customer/name, or a text with pointers in it; docs/formats/hook.md lists the fields")
	fm.When(func() bool { return try.asked }, func() {
		fm.ID("outlet", "As if it came from", &try.outlet, openOutlets(outlets)...).Half()
		fm.Text("sample", "A message of the other program", &try.text).As("code").Wide().WithHint("paste one; it is only tried out, nothing is saved")
		fm.Then(func(l *fault.List) {
			l.Check(try.text != "", "sample", "it is missing", "paste a message of the other program")
		})
	})
	if m.ID == 0 {
		return fm
	}
	return fm.Sealed()
}

// mappingOf reads the mapping of the address; a new one without.
func (f *Programs) mappingOf(r *http.Request) (studio.HookMapping, error) {
	if r.PathValue("mapping") == "" {
		return studio.HookMapping{Body: json.RawMessage(FirstMapping)}, nil
	}
	id, err := page.PathID(r, "mapping")
	if err != nil {
		return studio.HookMapping{}, err
	}
	return feeds.HookMapping(r.Context(), f.Seen(r), id)
}

func (f *Programs) HookMapping(w http.ResponseWriter, r *http.Request) error {
	m, err := f.mappingOf(r)
	if err != nil {
		return err
	}
	return f.showMapping(w, r, m, nil, nil)
}

func (f *Programs) showMapping(w http.ResponseWriter, r *http.Request, m studio.HookMapping, fail *page.Failure, trial *trialView) error {
	title := m.Name
	if m.ID == 0 {
		title = "New mapping"
	}
	fr, err := f.Frame(r, "studio", title)
	if err != nil {
		return err
	}
	outlets, err := house.Outlets(r.Context(), f.Seen(r))
	if err != nil {
		return err
	}
	p := &HookMappingPage{Frame: fr, ID: m.ID, Trial: trial, Form: mappingForm(outlets, &m, new(sample))}
	if r.Method == http.MethodPost {
		p.Form.Read(r.PostForm)
	}
	p.Put(p.Form, fail)
	return f.Show(w, r, page.StatusOf(fail), "hookmapping", p)
}

// SaveMapping saves the mapping, or tries it out, by the button that was pressed.
func (f *Programs) SaveMapping(w http.ResponseWriter, r *http.Request) error {
	m, err := f.mappingOf(r)
	if err != nil {
		return err
	}
	if r.PostForm.Get("do") == "try" {
		trial, err := f.tryMapping(r, m)
		if err != nil {
			return f.ShowAgain(w, r, "map", err, func(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
				return f.showMapping(w, r, m, fail, nil)
			})
		}
		return f.showMapping(w, r, m, nil, trial)
	}
	build := func(m *studio.HookMapping) *form.Form { return mappingForm(nil, m, new(sample)) }
	if _, err := feeds.ChangeHookMapping(r.Context(), f.Studio, m.ID, form.Changing(r, build)); err != nil {
		return f.ShowAgain(w, r, "map", withPaths(err), func(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
			return f.showMapping(w, r, m, fail, nil)
		})
	}
	return f.DoneSaying(w, r, "/studio/feeds#mappings", "mapping")
}

func (f *Programs) tryMapping(r *http.Request, m studio.HookMapping) (*trialView, error) {
	try := sample{asked: true}
	fm := mappingForm(nil, &m, &try)
	fm.Find("name").Required = false
	if err := fm.Take(r.PostForm); err != nil {
		return nil, err
	}
	got, err := feeds.TryHookMapping(r.Context(), f.Studio, try.outlet, m.Body, []byte(try.text))
	var u *feeds.Unread
	switch {
	case errors.As(err, &u):
		return nil, inSample(u)
	case err != nil:
		return nil, withPaths(err)
	}
	v := &trialView{Passed: got.Passed, Order: got.Order}
	for i, l := range got.Order.Lines {
		v.Lines = append(v.Lines, trialLine{got.Order.Labels[i], got.Order.Titles[i], l.Price})
	}
	return v, nil
}

// inSample puts every fault of a message beside the sample, with its place there.
func inSample(u *feeds.Unread) error {
	var l fault.List
	for _, e := range fault.All(u) {
		if at := u.Source(e.Field); at != "" {
			e = e.At("%s", at)
		}
		l.Add(e.In("sample"))
	}
	return l.Err()
}

// withPaths says in the sentence where in the mapping a fault is, since the form has one field for all of it.
func withPaths(err error) error {
	var m *form.MovedOn
	if errors.As(err, &m) {
		return err
	}
	var l fault.List
	for _, e := range fault.All(err) {
		if len(e.Field) > len("mapping.") && e.Field[:len("mapping.")] == "mapping." {
			e = e.At("at %s", e.Field[len("mapping."):])
		}
		l.Add(e)
	}
	return l.Err()
}

func (f *Programs) DropMapping(w http.ResponseWriter, r *http.Request) error {
	m, err := f.mappingOf(r)
	if err != nil {
		return err
	}
	if err := feeds.DropHookMapping(r.Context(), f.Studio, m.ID); err != nil {
		return f.ShowAgain(w, r, "map", err, func(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
			return f.showMapping(w, r, m, fail, nil)
		})
	}
	return f.DoneSaying(w, r, "/studio/feeds#mappings", "mapping-gone")
}
