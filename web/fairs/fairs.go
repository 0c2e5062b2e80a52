// Package fairs is days at a table in a browser: begun, counted, what they took, cost and earned. Each exported method of Fairs answers one
// route of package web.
package fairs

import (
	"net/http"
	"strconv"

	"solander/fair"
	"solander/fairs"
	"solander/house"
	"solander/money"
	"solander/order"
	"solander/studio"
	"solander/web/form"
	"solander/web/page"
)

// Fairs is the handlers of this room.
type Fairs struct{ *page.Kit }

const here = "/earnings/fairs"

func address(id int64) string { return here + "/" + strconv.FormatInt(id, 10) }

// ListPage lists days.
type ListPage struct {
	page.Frame
	Days []fairs.View
	New  *form.Form
}

// beginForm asks for a day.
func beginForm(d *fair.Day, outlets []order.Outlet, currency string) *form.Form {
	fm := form.New("begin", here)
	fm.Text("name", "Fair, or place", &d.Name).Must().Half()
	var picks []form.Choice
	for _, u := range outlets {
		if !u.Closed {
			picks = append(picks, form.PickID(u.ID, u.Name))
		}
	}
	fm.ID("outlet", "Sold at", &d.Outlet, picks...).Half()
	fm.Day("day", "Day", &d.Day).Small()
	fm.Amount("float", "In the cash box before", &d.Float, currency).Small()
	return fm
}

// List lists them.
func (f *Fairs) List(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	fr, err := f.Frame(r, "earnings", "Fairs")
	if err != nil {
		return err
	}
	p := &ListPage{Frame: fr}
	if p.Days, err = fairs.Days(r.Context(), f.Seen(r)); err != nil {
		return err
	}
	outlets, err := house.Outlets(r.Context(), f.Seen(r))
	if err != nil {
		return err
	}
	set := page.Settings(r)
	p.New = p.Put(beginForm(&fair.Day{Day: fr.Today, Float: money.Of(0, set.Currency)}, outlets, set.Currency), fail)
	return f.Show(w, r, page.StatusOf(fail), "fairs", p)
}

// Begin begins a day.
func (f *Fairs) Begin(w http.ResponseWriter, r *http.Request) error {
	var d fair.Day
	err := beginForm(&d, nil, page.Settings(r).Currency).Take(r.PostForm)
	if err == nil {
		d, err = fairs.Begin(r.Context(), f.Studio, d)
	}
	if err != nil {
		return f.ShowAgain(w, r, "begin", err, f.List)
	}
	return f.DoneSaying(w, r, address(d.ID), "fair")
}

// DayPage is one day.
type DayPage struct {
	page.Frame
	View  fairs.View
	Taken []takenRow
	Left  []leftRow
	Hours string
	Cash  money.Amount // taken
	Count *form.Form
	Cost  *form.Form
	Costs []costRow
	Carry *form.Form // nil while nothing is there to be carried
	Gone  []carryRow
}

type carryRow struct {
	fair.Carry
	Undo string
}

func carryForm(c *fair.Carry, set studio.Settings) *form.Form {
	fm := form.New("carry", address(c.FairDay)+"/carry")
	fm.Amount("amount", "Paid in", &c.Amount, set.Currency).Small().Must()
	fm.Day("day", "On", &c.Day).Small()
	fm.Text("note", "Note", &c.Note).Half()
	return fm
}

type takenRow struct {
	How    string
	Amount money.Amount
}

type leftRow struct {
	What   string
	Amount money.Amount
}

type costRow struct {
	fair.Cost
	Undo string
}

func countForm(in *fairs.CountIn, set studio.Settings) *form.Form {
	fm := form.New("count", address(in.Day)+"/count")
	fm.Amount("counted", "In the cash box, float and all", &in.Counted, set.Currency).Must().Half()
	fm.Bind("hours", "Hours at the table", fair.Hours(in.Minutes), func(typed string) (err error) {
		in.Minutes, err = fair.ParseHours(typed)
		return err
	}).Small().WithHint("empty: not told")
	fm.Text("why", "Why it is off", &in.Why).Wide().WithHint("a word, when it is")
	return fm
}

func costForm(c *fair.Cost, set studio.Settings) *form.Form {
	fm := form.New("cost", address(c.FairDay)+"/cost")
	var picks []form.Choice
	for _, k := range fair.Kinds() {
		picks = append(picks, form.Pick(string(k), form.Upper(k.Words())))
	}
	form.Select(fm, "kind", "What it is", &c.Kind, picks...).Half()
	fm.Amount("amount", "Amount", &c.Amount, set.Currency).Small().Must()
	fm.Text("note", "Note", &c.Note).Wide()
	fm.Tick("from_box", "Paid out of the cash box", &c.FromBox)
	return fm
}

// Day shows one.
func (f *Fairs) Day(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	id, err := page.PathID(r, "fair")
	if err != nil {
		return err
	}
	v, err := fairs.Day(r.Context(), f.Seen(r), id)
	if err != nil {
		return err
	}
	fr, err := f.Frame(r, "earnings", v.Name)
	if err != nil {
		return err
	}
	if err := f.HangAll(r, &fr); err != nil {
		return err
	}
	set := page.Settings(r)
	p := &DayPage{Frame: fr, View: v, Hours: fair.Hours(v.Minutes), Cash: v.Takings.By(order.InCash)}
	p.Tell(fail)
	for _, h := range order.Hows() {
		p.Taken = append(p.Taken, takenRow{form.Upper(h.Words()), v.Takings.By(h)})
	}
	for _, s := range v.Earned.Sums {
		p.Left = append(p.Left, leftRow{s.Part.Words(), money.Of(s.Known, set.Currency)})
	}
	for _, c := range v.Costs {
		p.Costs = append(p.Costs, costRow{c, here + "/costs/" + strconv.FormatInt(c.ID, 10) + "/reverse"})
	}
	for _, c := range v.Carried {
		p.Gone = append(p.Gone, carryRow{c, here + "/carries/" + strconv.FormatInt(c.ID, 10) + "/back"})
	}
	if !v.Dropped {
		if v.Cash.Sign() > 0 {
			p.Carry = p.Put(carryForm(&fair.Carry{FairDay: id, Amount: v.Cash, Day: fr.Today}, set), fail)
		}
		counted := v.Lies
		counted.Minor = max(0, counted.Minor)
		p.Count = p.Put(countForm(&fairs.CountIn{Day: id, Counted: counted, Why: v.Why, Minutes: v.Minutes}, set), fail)
		p.Cost = p.Put(costForm(&fair.Cost{FairDay: id, Kind: fair.Stall, Amount: money.Of(0, set.Currency), FromBox: true}, set), fail)
	}
	return f.Show(w, r, page.StatusOf(fail), "fair", p)
}

// Count ends a day.
func (f *Fairs) Count(w http.ResponseWriter, r *http.Request, id int64) error {
	in := fairs.CountIn{Day: id}
	err := countForm(&in, page.Settings(r)).Take(r.PostForm)
	if err == nil {
		_, err = fairs.Count(r.Context(), f.Studio, in)
	}
	if err != nil {
		return f.ShowAgain(w, r, "count", err, f.Day)
	}
	return f.DoneSaying(w, r, address(id), "fair-counted")
}

// AddCost notes a cost.
func (f *Fairs) AddCost(w http.ResponseWriter, r *http.Request, id int64) error {
	c := fair.Cost{FairDay: id}
	err := costForm(&c, page.Settings(r)).Take(r.PostForm)
	if err == nil {
		_, err = fairs.AddCost(r.Context(), f.Studio, c)
	}
	if err != nil {
		return f.ShowAgain(w, r, "cost", err, f.Day)
	}
	return f.DoneSaying(w, r, address(id), "fair-cost")
}

// ReverseCost takes a cost back that was noted wrongly.
func (f *Fairs) ReverseCost(w http.ResponseWriter, r *http.Request, id int64) error {
	c, err := fairs.ReverseCost(r.Context(), f.Studio, id)
	if err != nil {
		return err
	}
	return f.DoneSaying(w, r, address(c.FairDay), "fair-undone")
}

// Carried notes that cash of the day was carried to the bank.
func (f *Fairs) Carried(w http.ResponseWriter, r *http.Request, id int64) error {
	c := fair.Carry{FairDay: id}
	err := carryForm(&c, page.Settings(r)).Take(r.PostForm)
	if err == nil {
		_, err = fairs.Carry(r.Context(), f.Studio, c)
	}
	if err != nil {
		return f.ShowAgain(w, r, "carry", err, f.Day)
	}
	return f.DoneSaying(w, r, address(id), "fair-carried")
}

// CarryBack takes that back.
func (f *Fairs) CarryBack(w http.ResponseWriter, r *http.Request, id int64) error {
	c, err := fairs.CarryBack(r.Context(), f.Studio, id)
	if err != nil {
		return err
	}
	return f.DoneSaying(w, r, address(c.FairDay), "fair-undone")
}

// Reopen takes the count back.
func (f *Fairs) Reopen(w http.ResponseWriter, r *http.Request, id int64) error {
	if _, err := fairs.Reopen(r.Context(), f.Studio, id); err != nil {
		return err
	}
	return f.DoneSaying(w, r, address(id), "fair-undone")
}

// Drop takes back that there was a day.
func (f *Fairs) Drop(w http.ResponseWriter, r *http.Request, id int64) error {
	if _, err := fairs.Drop(r.Context(), f.Studio, id); err != nil {
		return err
	}
	return f.DoneSaying(w, r, here, "fair-undone")
}

// Paper sends a day as PDF.
func (f *Fairs) Paper(w http.ResponseWriter, r *http.Request) error {
	id, err := page.PathID(r, "fair")
	if err != nil {
		return err
	}
	paper, err := fairs.Paper(r.Context(), f.Seen(r), id)
	return page.ServePaper(w, "day", paper, err)
}

// CSV sends a day as a table.
func (f *Fairs) CSV(w http.ResponseWriter, r *http.Request) error {
	id, err := page.PathID(r, "fair")
	if err != nil {
		return err
	}
	v, err := fairs.Day(r.Context(), f.Seen(r), id)
	if err != nil {
		return err
	}
	return page.After(w, r, func(w http.ResponseWriter) error {
		w.Header().Set("Content-Type", "text/csv; charset=utf-8")
		w.Header().Set("Content-Disposition", `attachment; filename="day.csv"`)
		return fairs.WriteCSV(w, v)
	})
}
