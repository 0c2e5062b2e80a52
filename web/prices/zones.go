package prices

import (
	"errors"
	"net/http"

	"solander/fault"
	"solander/pricecards"
	"solander/tariff"
	"solander/tariff/zonelist"
	"solander/web/form"
	"solander/web/page"
)

// ZonesPage takes in the zones of the studio's own postcode as the operator lists them.
type ZonesPage struct {
	page.Frame
	Origin tariff.Place
	Own    []ownZones
	Used   []string // by what each name is priced now, in words
	Form   *form.Form
	Read   *zonelist.List
}

// ownZones is a pasted table.
type ownZones struct {
	tariff.ZoneTable
	Off bool // it is of another postcode than the studio's
}

// Zones shows which zones hold, and asks for a list.
func (f *Prices) Zones(w http.ResponseWriter, r *http.Request) error {
	return f.showZones(w, r, &pricecards.ZonesIn{}, nil, nil)
}

// SaveZones shows what a pasted list says, or keeps it.
func (f *Prices) SaveZones(w http.ResponseWriter, r *http.Request) error {
	zones, err := pricecards.Zones(r.Context(), f.Seen(r))
	if err != nil {
		return err
	}
	var in pricecards.ZonesIn
	err = zonesForm(&in, zones).Take(r.PostForm)
	var l *zonelist.List
	if in.Text != "" {
		got, e := pricecards.ReadZones(r.Context(), f.Seen(r), in)
		l = &got
		err = errors.Join(err, e)
	}
	if err == nil && r.PostForm.Get("do") == "keep" {
		if err = pricecards.KeepZones(r.Context(), f.Studio, in); err == nil {
			return f.DoneSaying(w, r, "/studio/zones", "zones")
		}
	}
	if page.Ours(err) {
		return err
	}
	return f.Visit(w, r, func(w http.ResponseWriter, r *http.Request) error {
		var fail *page.Failure
		if err != nil {
			fail = page.FailedIn("zones", r, err)
		}
		return f.showZones(w, r, &in, l, fail)
	})
}

// DropZones forgets a pasted list.
func (f *Prices) DropZones(w http.ResponseWriter, r *http.Request) error {
	if err := pricecards.DropZones(r.Context(), f.Studio, r.PostForm.Get("table")); err != nil {
		return err
	}
	return f.DoneSaying(w, r, "/studio/zones", "zones-gone")
}

func zonesForm(in *pricecards.ZonesIn, zones pricecards.ZonesOf) *form.Form {
	fm := form.New("zones", "/studio/zones")
	if in.Table == "" && len(zones.Tables) > 0 {
		in.Table = zones.Tables[0]
	}
	if len(zones.Tables) == 1 {
		fm.Text("table", "", &in.Table).As("hidden")
	} else {
		var choices []form.Choice
		for _, t := range zones.Tables {
			choices = append(choices, form.Pick(t, t))
		}
		form.Select(fm, "table", "Zones of", &in.Table, choices...)
	}
	fm.Area("text", "The list", &in.Text).As("code").Must().Wide().WithHint("a range and its zone, such as 005---089 5; headings and notes may stay")
	fm.Text("source", "Where it stands", &in.Source).Must().Wide().WithHint("such as the operator’s chart for this postcode and its day")
	fm.Tick("sure", "What is in doubt is so", &in.Sure)
	return fm
}

func (f *Prices) showZones(w http.ResponseWriter, r *http.Request, in *pricecards.ZonesIn, l *zonelist.List, fail *page.Failure) error {
	fr, err := f.Frame(r, "studio", "Zones from your postcode")
	if err != nil {
		return err
	}
	zones, err := pricecards.Zones(r.Context(), f.Seen(r))
	if err != nil {
		return err
	}
	p := &ZonesPage{Frame: fr, Origin: zones.Origin, Read: l}
	if len(zones.Tables) > 0 {
		p.Form = zonesForm(in, zones)
		p.Put(p.Form, fail)
	}
	for _, z := range zones.Own {
		p.Own = append(p.Own, ownZones{z, !z.From(zones.Origin)})
	}
	for _, name := range zones.Tables {
		p.Used = append(p.Used, name+": "+zones.By(name))
	}
	return f.Show(w, r, page.StatusOf(fail), "zones", p)
}

// Ranges counts what was read.
func (p *ZonesPage) Ranges() string { return fault.Count(len(p.Read.Rows), "range") }
