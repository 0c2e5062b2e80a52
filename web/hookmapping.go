package web

import (
	"encoding/json"
	"errors"
	"fmt"
	"net/http"

	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/studio"
)

// hookMappingPage shows a mapping, and what it makes of a sample.
type hookMappingPage struct {
	frame
	ID    int64 // 0: a new one
	Form  *form
	Trial *trialView
}

// trialView is the order that a message would become.
type trialView struct {
	Passed string
	Order  studio.FeedOrder
	Lines  []trialLine
}

type trialLine struct {
	Label, Title string
	Price        money.Amount
}

// firstMapping stands in the form of a new mapping, to be changed.
const firstMapping = `{
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

func mappingForm(outlets []order.Outlet, m studio.HookMapping) *form {
	to := "/studio/hook-mappings"
	if m.ID != 0 {
		to = fmt.Sprintf("/studio/hook-mappings/%d", m.ID)
	}
	fm := newForm("map", to)
	fm.ask("name", "Name").is(m.Name).must().half()
	fm.ask("mapping", "The mapping as JSON").as("code").is(string(m.Body)).must().wide().hint("where each field stands in a message: a JSON Pointer such as /customer/name, or a text with pointers in it; docs/formats/hook.md lists the fields")
	var where []choice
	for _, u := range outlets {
		if !u.Closed {
			where = append(where, choice{text64(u.ID), u.Name})
		}
	}
	fm.ask("outlet", "As if it came from").of(where...).half()
	fm.ask("sample", "A message of the other program").as("code").wide().hint("paste one; it is only tried out, nothing is saved")
	if m.ID == 0 {
		return fm
	}
	return fm.sealed()
}

// mappingOf reads the mapping of the address; a new one without.
func (f *face) mappingOf(r *http.Request) (studio.HookMapping, error) {
	if r.PathValue("mapping") == "" {
		return studio.HookMapping{Body: json.RawMessage(firstMapping)}, nil
	}
	id, err := pathID(r, "mapping")
	if err != nil {
		return studio.HookMapping{}, err
	}
	return f.studio.HookMapping(r.Context(), id)
}

func (f *face) hookMapping(w http.ResponseWriter, r *http.Request) error {
	m, err := f.mappingOf(r)
	if err != nil {
		return err
	}
	return f.showMapping(w, r, m, nil, nil)
}

func (f *face) showMapping(w http.ResponseWriter, r *http.Request, m studio.HookMapping, fail *failure, trial *trialView) error {
	title := m.Name
	if m.ID == 0 {
		title = "New mapping"
	}
	fr, err := f.frame(r, "studio", title)
	if err != nil {
		return err
	}
	outlets, err := f.studio.Outlets(r.Context())
	if err != nil {
		return err
	}
	p := &hookMappingPage{frame: fr, ID: m.ID, Trial: trial, Form: mappingForm(outlets, m)}
	if r.Method == http.MethodPost {
		p.Form.read(r.PostForm)
	}
	p.put(p.Form, fail)
	return f.show(w, r, statusOf(fail), "hookmapping", p)
}

// saveMapping saves the mapping, or tries it out, by the button that was pressed.
func (f *face) saveMapping(w http.ResponseWriter, r *http.Request) error {
	m, err := f.mappingOf(r)
	if err != nil {
		return err
	}
	if r.PostForm.Get("do") == "try" {
		trial, err := f.tryMapping(r, m)
		if err != nil {
			if ours(err) {
				return err
			}
			return f.showMapping(w, r, m, failedIn("map", r, err), nil)
		}
		return f.showMapping(w, r, m, nil, trial)
	}
	build := func(m studio.HookMapping) *form { return mappingForm(nil, m) }
	read := func(rd *reader, m studio.HookMapping) studio.HookMapping {
		m.Name, m.Body = rd.text("name"), json.RawMessage(rd.text("mapping"))
		return m
	}
	if _, err := f.studio.ChangeHookMapping(r.Context(), m.ID, changing(r, build, read)); err != nil {
		if ours(err) {
			return err
		}
		return f.showMapping(w, r, m, failedIn("map", r, withPaths(err)), nil)
	}
	return f.doneSaying(w, r, "/studio/feeds#mappings", "mapping")
}

func (f *face) tryMapping(r *http.Request, m studio.HookMapping) (*trialView, error) {
	fm := mappingForm(nil, m)
	fm.read(r.PostForm)
	rd := fm.reader()
	mapping, sample, outlet := rd.text("mapping"), rd.text("sample"), rd.id("outlet")
	if sample == "" {
		rd.Add(fault.Invalidf("sample", "it is missing").ToMend("paste a message of the other program"))
	}
	if err := rd.Err(); err != nil {
		return nil, err
	}
	got, err := f.studio.TryHookMapping(r.Context(), outlet, []byte(mapping), []byte(sample))
	var u *studio.Unread
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
func inSample(u *studio.Unread) error {
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
	var m *movedOn
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

func (f *face) dropMapping(w http.ResponseWriter, r *http.Request) error {
	m, err := f.mappingOf(r)
	if err != nil {
		return err
	}
	if err := f.studio.DropHookMapping(r.Context(), m.ID); err != nil {
		if ours(err) {
			return err
		}
		return f.showMapping(w, r, m, failed(newForm("map", ""), r, err), nil)
	}
	return f.doneSaying(w, r, "/studio/feeds#mappings", "mapping-gone")
}
