package prices

import (
	"errors"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"solander/fault"
	"solander/pricecards"
	"solander/tariff"
	"solander/web/form"
	"solander/web/page"
)

// EditPage is the editor of a price card: its days and source, and one of its services.
type EditPage struct {
	page.Frame
	Card     tariff.Card
	Own      bool
	Service  string
	Services []page.Link
	Form     *form.Form
	Limits   []editRow
	Fees     []editRow
	New      []form.Choice
	Kept     []string
	Prices   priceTable
	Focus    string
}

// Edit shows the editor of the card, and of the service, that the address names; the first one when it names none.
func (f *Prices) Edit(w http.ResponseWriter, r *http.Request) error {
	q := r.URL.Query()
	return f.showEdit(w, r, q.Get("id"), q.Get("service"), nil, "", nil)
}

func (f *Prices) showEdit(w http.ResponseWriter, r *http.Request, id, service string, typed url.Values, focus string, err error) error {
	return f.Visit(w, r, func(w http.ResponseWriter, r *http.Request) error {
		return f.seeEdit(w, r, id, service, typed, focus, err)
	})
}

func (f *Prices) seeEdit(w http.ResponseWriter, r *http.Request, id, service string, typed url.Values, focus string, wrong error) error {
	card, own, err := pricecards.Editable(r.Context(), f.Seen(r), id)
	if err != nil {
		return err
	}
	s, err := serviceOf(&card, service)
	if err != nil {
		return err
	}
	fr, err := f.Frame(r, "studio", "Price card "+card.ID)
	if err != nil {
		return err
	}
	p := &EditPage{Frame: fr, Card: card, Own: own, Service: s.Name, New: measureWords, Focus: focus, Kept: keptWords(&card, s), Prices: tableOf(&card, s, fr.Units)}
	for _, x := range card.Services {
		to := "/studio/cards/edit?" + url.Values{"id": {card.ID}, "service": {x.ID}}.Encode()
		if x.ID == s.ID {
			to = ""
		}
		p.Services = append(p.Services, page.LinkTo(to, x.Name))
	}
	if typed != nil {
		*s = frameOf(*s, typed)
	}
	e := newEditor(&card, s, fr.Units, page.Settings(r).Artist)
	e.Sealed()
	p.Form, p.Limits, p.Fees = e.Form, e.limits, e.fees
	var fail *page.Failure
	switch {
	case wrong != nil:
		fail = &page.Failure{Form: p.Form.Name, Typed: typed, Err: wrong}
		p.Put(p.Form, fail)
	case typed != nil:
		stood := p.Form.Find("stood").Value
		p.Form.Read(typed)
		if p.Form.Find("stood").Value == "" {
			p.Form.Find("stood").Value = stood
		}
	}
	p.Form.Focus(focus)
	return f.Show(w, r, page.StatusOf(fail), "cardedit", p)
}

func serviceOf(c *tariff.Card, id string) (*tariff.Service, error) {
	if id == "" {
		return &c.Services[0], nil
	}
	if s := c.Service(id); s != nil {
		return s, nil
	}
	return nil, fault.New(fault.Missing, "the card has no service %.60q", id).ToMend("choose one of its services")
}

// SaveEdit does what the button says: it saves the card, or only shows the draft anew.
func (f *Prices) SaveEdit(w http.ResponseWriter, r *http.Request) error {
	typed := r.PostForm
	id, service, do := typed.Get("id"), typed.Get("service"), typed.Get("do")
	if do != "save" {
		focus := ""
		if deed, ok := form.DeedOf(do); ok && slices.Contains([]string{"limits", "surcharges"}, deed.List) {
			key := "measure"
			if deed.List == "surcharges" {
				key = "when[0].measure"
			}
			typed = deed.On(typed, key)
			focus = deed.Focus(form.Rows(typed, deed.List))
		}
		return f.showEdit(w, r, id, service, typed, focus, nil)
	}
	units := page.Settings(r).Units
	in := pricecards.EditIn{Card: id, Who: typed.Get("who"), Sure: typed.Get("sure") != ""}
	in.Change = func(c *tariff.Card) error {
		s, err := serviceOf(c, service)
		if err != nil {
			return err
		}
		now, was := *c, *s
		was.Limits, was.Surcharges = slices.Clone(s.Limits), slices.Clone(s.Surcharges)
		stands := newEditor(&now, &was, units, page.Settings(r).Artist)
		if err := stands.Sealed().StillAsRows(typed); err != nil {
			return err
		}
		*s = frameOf(*s, typed)
		return newEditor(c, s, units, in.Who).Take(typed)
	}
	card, err := pricecards.Edit(r.Context(), f.Studio, in)
	if err == nil {
		return f.DoneSaying(w, r, "/studio/cards/edit?"+url.Values{"id": {card.ID}, "service": {service}}.Encode(), "card-edit")
	}
	if page.Ours(err) {
		return err
	}
	return f.showEdit(w, r, id, service, typed, "", besideRows(err))
}

// besideRows puts faults in a service of the card beside the field of its row.
func besideRows(err error) error {
	if moved := new(form.MovedOn); errors.As(err, &moved) {
		return err
	}
	var l fault.List
	for _, x := range fault.All(err) {
		if _, rest, ok := strings.Cut(x.Field, "]."); ok && strings.HasPrefix(x.Field, "services[") {
			x = x.In(rest).At("")
		}
		l.Add(x)
	}
	return l.Err()
}
