// Package payouts is what outlets paid out, in a browser: the list, one taken apart, and another one, with the sales that it is likely of.
// Each exported method of Payouts answers one route of package web.
package payouts

import (
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"solander/book"
	"solander/fault"
	"solander/house"
	"solander/payouts"
	"solander/web/form"
	"solander/web/page"
)

// Payouts is the handlers of this room.
type Payouts struct{ *page.Kit }

const here = "/earnings/payouts"

func address(id int64) string { return here + "/" + strconv.FormatInt(id, 10) }

// ListPage lists payouts, and asks for another.
type ListPage struct {
	page.Frame
	Payouts []payouts.Row
	Earlier string // the address of those before; "" = none
	Ask     *form.Form
}

// every is how many payouts stand on a page.
const every = 50

// List lists payouts.
func (f *Payouts) List(w http.ResponseWriter, r *http.Request) error {
	fr, err := f.Frame(r, "earnings", "Payouts")
	if err != nil {
		return err
	}
	skip := 0
	if text := r.URL.Query().Get("skip"); text != "" {
		if skip, err = strconv.Atoi(text); err != nil || skip < 0 {
			return fault.Invalidf("skip", "%.20q is no row of the list", text).ToMend("begin with the first page")
		}
	}
	p := &ListPage{Frame: fr}
	if p.Payouts, err = payouts.List(r.Context(), f.Seen(r), skip, every+1); err != nil {
		return err
	}
	if len(p.Payouts) > every {
		p.Payouts, p.Earlier = p.Payouts[:every], here+"?skip="+strconv.Itoa(skip+every)
	}
	if p.Ask, err = f.form(r, &payouts.Payout{Day: fr.Today}, ""); err != nil {
		return err
	}
	return f.Show(w, r, http.StatusOK, "payouts", p)
}

// form asks which outlet paid how much, and when.
func (f *Payouts) form(r *http.Request, in *payouts.Payout, action string) (*form.Form, error) {
	outlets, err := house.Outlets(r.Context(), f.Seen(r))
	if err != nil {
		return nil, err
	}
	var picks []form.Choice
	for _, u := range outlets {
		if !u.Closed || u.ID == in.Outlet {
			picks = append(picks, form.PickID(u.ID, u.Name))
			if in.Outlet == 0 {
				in.Outlet = u.ID
			}
		}
	}
	fm := form.New("payout", action)
	fm.ID("outlet", "Outlet", &in.Outlet, picks...).Half()
	fm.Amount("net", "Sum that came in", &in.Net, page.Settings(r).Currency).OrEmpty().Must().Half()
	fm.Day("day", "On", &in.Day).Half()
	return fm, nil
}

// whole asks for all of a payout but its sales, which are ticked.
func (f *Payouts) whole(r *http.Request, in *payouts.Payout, more *string) (*form.Form, error) {
	fm, err := f.form(r, in, here)
	if err != nil {
		return nil, err
	}
	fm.Text("note", "Note", &in.Note).Half()
	fm.Text("more", "Further orders", more).Half().WithHint("marks of such as are not in the list, like S-1042")
	return fm, nil
}

// NewPage is a payout before it is entered: the sales that it may be of, and what it would come to.
type NewPage struct {
	page.Frame
	Form  *form.Form
	Sales []saleRow // ticked or proposed, the latest first
	Rest  []saleRow
	Found int           // how many are proposed
	Trial *payouts.View // when it was asked for
}

type saleRow struct {
	payouts.Candidate
	Ticked bool
}

// New asks for a payout.
func (f *Payouts) New(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	if fail != nil {
		return f.show(w, r, fail.Typed, fail, nil)
	}
	return f.show(w, r, r.URL.Query(), nil, nil)
}

func (f *Payouts) show(w http.ResponseWriter, r *http.Request, typed url.Values, fail *page.Failure, trial *payouts.View) error {
	fr, err := f.Frame(r, "earnings", "Another payout")
	if err != nil {
		return err
	}
	p, in, more := &NewPage{Frame: fr, Trial: trial}, payouts.Payout{Day: fr.Today}, ""
	if in.Outlet, err = strconv.ParseInt(typed.Get("outlet"), 10, 64); err != nil {
		in.Outlet = 0
	}
	fm, err := f.whole(r, &in, &more)
	if err != nil {
		return err
	}
	wrong := error(nil)
	if typed.Has("net") {
		wrong = fm.Take(typed)
	}
	if p.Form = p.Put(fm, fail); wrong != nil && fail == nil {
		p.Links = append(p.Links, fm.Blame(wrong)...)
	}
	all, err := payouts.Propose(r.Context(), f.Seen(r), in.Outlet, in.Net, in.Day)
	if err != nil {
		return err
	}
	for _, c := range slices.Backward(all) {
		row := saleRow{c, c.Proposed}
		if typed.Has("order") && !typed.Has("find") || fail != nil || trial != nil {
			row.Ticked = slices.Contains(typed["order"], strconv.FormatInt(c.Order, 10))
		}
		if c.Proposed {
			p.Found++
		}
		if row.Ticked || c.Proposed {
			p.Sales = append(p.Sales, row)
		} else {
			p.Rest = append(p.Rest, row)
		}
	}
	return f.Show(w, r, page.StatusOf(fail), "payoutnew", p)
}

// Take enters a payout, or shows what it would come to.
func (f *Payouts) Take(w http.ResponseWriter, r *http.Request) error {
	trying := r.PostForm.Get("try") != ""
	v, err := f.take(r, trying)
	switch {
	case err != nil:
		return f.ShowAgain(w, r, "payout", err, f.New)
	case trying:
		return f.Visit(w, r, func(w http.ResponseWriter, r *http.Request) error { return f.show(w, r, r.PostForm, nil, &v) })
	}
	return f.DoneSaying(w, r, address(v.ID), "payout")
}

func (f *Payouts) take(r *http.Request, trying bool) (v payouts.View, err error) {
	var in payouts.Payout
	var more string
	fm, err := f.whole(r, &in, &more)
	if err != nil {
		return v, err
	}
	if err := fm.Take(r.PostForm); err != nil {
		return v, err
	}
	for _, text := range r.PostForm["order"] {
		id, err := strconv.ParseInt(text, 10, 64)
		if err != nil {
			return v, fault.Invalidf("orders", "%.20q is in no list of orders", text).ToMend("tick those of the list")
		}
		in.Orders = append(in.Orders, id)
	}
	for _, mark := range strings.FieldsFunc(more, func(r rune) bool { return r == ' ' || r == ',' }) {
		o, err := book.OrderByMark(r.Context(), f.Studio, strings.ToUpper(mark))
		if fault.Is(err, fault.Missing) {
			err = fault.New(fault.Missing, "there is no order %.20s", mark).In("more").ToMend("write marks like S-1042, with a space between")
		}
		if err != nil {
			return v, err
		}
		in.Orders = append(in.Orders, o.ID)
	}
	if trying {
		return payouts.Foresee(r.Context(), f.Studio, in)
	}
	return payouts.Take(r.Context(), f.Studio, in)
}

// PayoutPage is one payout.
type PayoutPage struct {
	page.Frame
	View payouts.View
	Undo string // the address by which it is taken back; "" = it was
}

// Payout shows one.
func (f *Payouts) Payout(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	id, err := page.PathID(r, "payout")
	if err != nil {
		return err
	}
	v, err := payouts.One(r.Context(), f.Seen(r), id)
	if err != nil {
		return err
	}
	fr, err := f.Frame(r, "earnings", "Paid out by "+v.OutletName)
	if err != nil {
		return err
	}
	p := &PayoutPage{Frame: fr, View: v}
	if !v.Back {
		p.Undo = address(id) + "/take-back"
	}
	p.Tell(fail)
	return f.Show(w, r, page.StatusOf(fail), "payout", p)
}

// TakeBack takes one back.
func (f *Payouts) TakeBack(w http.ResponseWriter, r *http.Request, id int64) error {
	if _, err := payouts.TakeBack(r.Context(), f.Studio, id); err != nil {
		return f.ShowAgain(w, r, "", err, f.Payout)
	}
	return f.DoneSaying(w, r, address(id), "payout-back")
}
