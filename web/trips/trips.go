// Package trips is how parcels leave the house, in a browser: the ways there are, each with its form, and what a day may cost more so that
// fewer different wraps are made. Each exported method of Trips answers one route of package web.
package trips

import (
	"net/http"
	"net/url"
	"slices"

	"solander/fault"
	"solander/house"
	"solander/leaving"
	"solander/measure"
	"solander/money"
	"solander/studio"
	"solander/web/form"
	"solander/web/page"
)

// Trips is the handlers of this room.
type Trips struct {
	*page.Kit
}

// LeavingPage lists the ways by which parcels leave.
type LeavingPage struct {
	page.Frame
	Ways  []wayLine
	Wage  string // of a minute; "" = minutes cost nothing
	New   []page.Link
	Day   *form.Form
	Walks bool // somebody walks to one of them
}

// wayLine is a way in words.
type wayLine struct {
	ID, Name, Kind, Takes, Costs, When string
}

var toLeaving = page.LinkTo("/studio/leaving", "How parcels leave")

// List lists the ways.
func (f *Trips) List(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	fr, err := f.Frame(r, "studio", "How parcels leave")
	if err != nil {
		return err
	}
	v, err := house.Leaving(r.Context(), f.Seen(r))
	if err != nil {
		return err
	}
	set := page.Settings(r)
	p := &LeavingPage{Frame: fr}
	if v.MinuteWage > 0 {
		p.Wage = money.Of(v.MinuteWage, set.Currency).String()
	}
	for _, x := range v.Ways {
		p.Ways = append(p.Ways, wayLine{x.ID, x.Name, x.Kind.Words(), x.Takes(set.Units, set.Currency, v.Named), x.Costs(v.MinuteWage, set.Currency), x.When()})
		p.Walks = p.Walks || x.Minutes > 0
	}
	for _, k := range leaving.Kinds() {
		if len(v.Ways) < leaving.MostWays {
			p.New = append(p.New, page.LinkTo("/studio/leaving/way?kind="+string(k), k.Words()))
		}
	}
	p.Day = p.Put(dayForm(&set), fail)
	return f.Show(w, r, page.StatusOf(fail), "leaving", p)
}

// dayForm asks what of a day goes for fewer wraps.
func dayForm(set *studio.Settings) *form.Form {
	fm := form.New("day", "/studio/leaving")
	fm.Minor("set_up_money", "A day may cost more by", &set.SetUpMoney, set.Currency).WithHint("so that fewer different wraps are made; 0: only where it costs nothing")
	return fm.Sealed()
}

// SaveDay keeps what a day may cost more.
func (f *Trips) SaveDay(w http.ResponseWriter, r *http.Request) error {
	if err := house.ChangeSettings(r.Context(), f.Studio, form.Changing(r, dayForm)); err != nil {
		return f.ShowAgain(w, r, "day", err, f.List)
	}
	return f.DoneSaying(w, r, "/studio/leaving", "settings")
}

// wayForm asks for a way of leaving: what concerns its kind, and what few change.
func wayForm(x *leaving.Way, v house.LeavingView, set studio.Settings) *form.Form {
	to := url.Values{"id": {x.ID}}
	if x.ID == "" {
		to = url.Values{"kind": {string(x.Kind)}}
	}
	fm := form.New("way", "/studio/leaving/way?"+to.Encode())
	fm.Text("name", "Name", &x.Name).Must().WithHint("as you say where a parcel goes")
	switch x.Kind {
	case leaving.Mailbox:
		askOpening(fm, x, set.Units)
		askMost(fm, x)
	case leaving.Bin:
		askWalk(fm, x)
		askOpening(fm, x, set.Units)
		askMost(fm, x)
		askTimes(fm, x)
	case leaving.Counter:
		askWalk(fm, x)
		askTimes(fm, x)
	case leaving.Pickup:
		fm.Minor("fee", "Fee of a pickup", &x.Fee, set.Currency).Small()
		fm.Whole("least", "Least number of parcels", &x.Least).Small().WithHint("0: for one, too")
		askMost(fm, x)
		askTimes(fm, x)
	}
	before := len(fm.Fields())
	fm.Mass("heaviest", "Heaviest parcel", &x.Heaviest, set.Units).OrEmpty().Half().WithHint("empty: any weight")
	fm.Minor("worth", "Worth of a parcel, at most", &x.Worth, set.Currency).Half().WithHint("0: any worth")
	var picks []form.Choice
	for _, s := range v.Services {
		picks = append(picks, form.Pick(s.Key, s.Name))
	}
	for i, fd := range fm.Ticks("services", &x.Services, picks...) {
		if fd.Half(); i == 0 {
			fd.WithHint("tick the services that it takes; none ticked: all")
		}
	}
	for _, fd := range fm.Fields()[before:] {
		fd.Apart = true
	}
	return fm.Sealed()
}

// askOpening asks for the opening; a bin need not have one.
func askOpening(fm *form.Form, x *leaving.Way, u measure.System) {
	var o leaving.Opening
	if x.Opening != nil {
		o = *x.Opening
	}
	fm.Length("opening.length", "Opening, its length", &o.Length, u).OrEmpty().Small().WithHint("measured inside")
	fm.Length("opening.width", "and its width", &o.Width, u).OrEmpty().Small()
	fm.Length("opening.depth", "Depth behind it", &o.Depth, u).OrEmpty().Small().WithHint("empty: no end to it")
	fm.Then(func(*fault.List) {
		if x.Opening = &o; o == (leaving.Opening{}) {
			x.Opening = nil
		}
	})
}

func askMost(fm *form.Form, x *leaving.Way) {
	fm.Whole("most", "Parcels it takes in a day", &x.Most).Small().WithHint("0: any number")
}

func askWalk(fm *form.Form, x *leaving.Way) {
	fm.Whole("minutes", "Minutes there and back", &x.Minutes).Small()
}

func askTimes(fm *form.Form, x *leaving.Way) {
	fm.Text("cut_off", "Until", &x.CutOff).Small().WithHint("like 10:30; empty: any time")
	var picks []form.Choice
	for _, d := range leaving.Weekdays() {
		picks = append(picks, form.Pick(d, leaving.DayName(d)))
	}
	for i, fd := range fm.Ticks("days", &x.Days, picks...) {
		if fd.Small(); i == 0 {
			fd.WithHint("none ticked: every day")
		}
	}
}

// asked is the way that a request is about: one that there is, or a new one of a kind.
func (f *Trips) asked(r *http.Request) (leaving.Way, house.LeavingView, error) {
	v, err := house.Leaving(r.Context(), f.Seen(r))
	if err != nil {
		return leaving.Way{}, v, err
	}
	q := r.URL.Query()
	if id := q.Get("id"); id != "" {
		if i := slices.IndexFunc(v.Ways, func(x leaving.Way) bool { return x.ID == id }); i >= 0 {
			return v.Ways[i], v, nil
		}
		return leaving.Way{}, v, fault.New(fault.Missing, "there is no way of leaving %.40q", id).ToMend("it was taken out, or never was: look at the list")
	}
	kind := leaving.Kind(q.Get("kind"))
	if kind == "" {
		kind = leaving.Mailbox
	}
	if !slices.Contains(leaving.Kinds(), kind) {
		return leaving.Way{}, v, fault.New(fault.Missing, "there is no way of leaving of the kind %.20q", kind).ToMend("use mailbox, pickup, counter or bin")
	}
	return leaving.Way{Kind: kind}, v, nil
}

// WayPage is the form of a way.
type WayPage struct {
	page.Frame
	Under string
	Form  *form.Form
	Known bool // it may be taken out
}

// Way shows the form of a way.
func (f *Trips) Way(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	x, v, err := f.asked(r)
	if err != nil {
		return err
	}
	title := form.Upper(x.Name)
	if x.ID == "" {
		title = "New: " + x.Kind.Words()
	}
	fr, err := f.Frame(r, "studio", title)
	if err != nil {
		return err
	}
	p := &WayPage{Frame: fr, Known: x.ID != "", Under: form.Upper(x.Kind.Words())}
	p.Form = p.Put(wayForm(&x, v, page.Settings(r)), fail)
	return f.Show(w, r, page.StatusOf(fail), "leavingway", p)
}

// SaveWay keeps a way, or takes it out.
func (f *Trips) SaveWay(w http.ResponseWriter, r *http.Request) error {
	x, v, err := f.asked(r)
	if err != nil {
		return err
	}
	if r.PostForm.Get("do") == "take-out" {
		if err := house.DropWay(r.Context(), f.Studio, x.ID); err != nil {
			return f.ShowAgain(w, r, "way", err, f.Way)
		}
		return f.DoneSaying(w, r, toLeaving.To, "leaving-gone")
	}
	set := page.Settings(r)
	build := func(now *leaving.Way) *form.Form {
		if now.Kind == "" {
			now.Kind = x.Kind
		}
		return wayForm(now, v, set)
	}
	if _, err := house.ChangeWay(r.Context(), f.Studio, x.ID, form.Changing(r, build)); err != nil {
		return f.ShowAgain(w, r, "way", err, f.Way)
	}
	return f.DoneSaying(w, r, toLeaving.To, "leaving")
}
