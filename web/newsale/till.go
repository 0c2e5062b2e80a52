package newsale

import (
	"cmp"
	"fmt"
	"math"
	"net/http"
	"net/url"

	"solander/book"
	"solander/calendar"
	"solander/charging"
	"solander/dispatch"
	"solander/fair"
	"solander/fairs"
	"solander/fault"
	"solander/house"
	"solander/money"
	"solander/order"
	"solander/register"
	"solander/studio"
	"solander/web/form"
	"solander/web/page"
)

// TillPage is the till of a fair or an open door, for a phone: choose a print by its picture, see number and price, say how it was paid, next.
type TillPage struct {
	page.Frame
	Outlet *form.Form // where she sells today; sent by itself
	At     string     // its id
	Sheet  []toSell
	Sale   *form.Form // of the print that is chosen; nil: none is
	Print  *tillPrint
	Sold   string      // mark of the sale before
	Day    *fairs.View // at the table today; nil: none was begun
	Begin  *form.Form  // begins one
}

// tillPrint is the print that is chosen, as it would be sold now.
type tillPrint struct {
	Work               int64
	Title, Text, Label string // Label is the number it gets when she types none; "" of an open edition
}

func howPaid() []form.Choice {
	out := []form.Choice{form.Pick("", order.Unsaid.Words())}
	for _, h := range order.Hows() {
		if h != order.Unsaid {
			out = append(out, form.Pick(string(h), h.Words()))
		}
	}
	return out
}

func (f *Sales) tillForm(r *http.Request, in *book.Sale) *form.Form {
	set := page.Settings(r)
	fm := form.New("till", "/till")
	line := book.SaleLine{}
	if len(in.Lines) > 0 {
		line = in.Lines[0]
	}
	fm.ID("outlet", "", &in.Outlet).As("hidden")
	fm.ID("lines[0].edition", "", &line.Edition).As("hidden")
	fm.Text("lines[0].number", "Number", &line.Number).WithAuto("off").WithHint("empty: the lowest")
	fm.AmountIf("lines[0].price", "Price", &line.Price, set.Currency).WithHint("empty: the price now")
	form.Select(fm, "how", "Paid by", &in.PaidHow, howPaid()...)
	fm.Text("paid_note", "Note", &in.PaidNote).WithAuto("off").Apart = true
	fm.Text("buyer", "Name, if she gives one", &in.Buyer.Name).WithAuto("off").Apart = true
	fm.Text("email", "E-mail, if she gives one", &in.Buyer.Email).As("email").WithAuto("off").Apart = true
	fm.Then(func(*fault.List) {
		in.Lines = []book.SaleLine{line}
	})
	return fm
}

// Till shows what may be sold over the table, by picture; with an edition chosen, the one form that sells it.
func (f *Sales) Till(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	ctx := r.Context()
	fr, err := f.Frame(r, "orders", "Till")
	if err != nil {
		return err
	}
	if err := f.HangAll(r, &fr); err != nil {
		return err
	}
	p := &TillPage{Frame: fr, Sold: r.URL.Query().Get("sold")}
	p.Tell(fail)
	outlets, err := house.Outlets(ctx, f.Seen(r))
	if err != nil {
		return err
	}
	works, err := register.Works(ctx, f.Seen(r))
	if err != nil {
		return err
	}
	typed := r.URL.Query()
	if fail != nil {
		typed = url.Values{"outlet": r.PostForm["outlet"], "edition": r.PostForm["lines[0].edition"]}
	}
	in := book.Sale{}
	in.Outlet = outletAt(outlets, typed.Get("outlet"), fr.Today, page.Settings(r).Currency)
	p.At = form.Text64(in.Outlet)
	p.Outlet = form.New("at", "/till")
	p.Outlet.ID("outlet", "Sold at", &in.Outlet, outletChoices(outlets)[1:]...)
	all := sheetOf(works, fr.Units, "")
	if p.Sheet = all; len(all) > mostSheet {
		title := typed.Get("holds")
		p.Outlet.Text("holds", "Title holds", &title).WithAuto("off").WithHint(fmt.Sprintf("%d works may be sold: %d are shown", len(all), mostSheet))
		p.Sheet = shown(sheetOf(works, fr.Units, title))
	}
	for _, t := range all {
		for _, e := range t.Editions {
			if form.Text64(e.ID) == typed.Get("edition") {
				in.Lines = []book.SaleLine{{Edition: e.ID}}
				p.Print = &tillPrint{Work: t.Work, Title: t.Title, Text: e.Text}
			}
		}
	}
	if err := f.tableOf(r, p, in.Outlet, fail); err != nil {
		return err
	}
	if p.Print != nil {
		p.Print.Label, err = book.NextNumber(ctx, f.Seen(r), in.Lines[0].Edition)
		if err != nil {
			return err
		}
		p.Sale = p.Put(f.tillForm(r, &in), fail)
	}
	return f.Show(w, r, page.StatusOf(fail), "till", p)
}

// tableOf shows the day at the table that was begun at the outlet today, or offers to begin one.
func (f *Sales) tableOf(r *http.Request, p *TillPage, outlet int64, fail *page.Failure) (err error) {
	if outlet == 0 {
		return nil
	}
	if p.Day, err = fairs.On(r.Context(), f.Seen(r), outlet, p.Today); err != nil || p.Day != nil {
		return err
	}
	set := page.Settings(r)
	d := fair.Day{Outlet: outlet, Float: money.Of(0, set.Currency)}
	p.Begin = p.Put(beginForm(&d, set.Currency), fail)
	return nil
}

// beginForm asks for the day at the table of today.
func beginForm(d *fair.Day, currency string) *form.Form {
	fm := form.New("begin", "/till/day")
	fm.ID("outlet", "", &d.Outlet).As("hidden")
	fm.Text("name", "Fair, or place", &d.Name).Must().Half()
	fm.Amount("float", "In the cash box before", &d.Float, currency).Small()
	return fm
}

// BeginDay begins the day at the table of today, and goes back to the till.
func (f *Sales) BeginDay(w http.ResponseWriter, r *http.Request) error {
	var d fair.Day
	err := beginForm(&d, page.Settings(r).Currency).Take(r.PostForm)
	if err == nil {
		d, err = fairs.Begin(r.Context(), f.Studio, d)
	}
	if err != nil {
		return f.ShowAgain(w, r, "begin", err, f.Till)
	}
	return f.DoneSaying(w, r, "/till?outlet="+form.Text64(d.Outlet), "fair")
}

// outletAt is the outlet asked for, or the open one that takes the least of a sale: a table of her own, not a gallery's wall. Of those that
// take as little it is the last, since fairs are added as they come.
func outletAt(all []order.Outlet, asked string, today calendar.Day, currency string) int64 {
	var least order.Outlet
	takes := func(u order.Outlet) int64 {
		fee, err := u.Fees.Fee(charging.Basis{Day: today, Prints: []money.Amount{money.Of(100_00, currency)}})
		if err != nil {
			return math.MaxInt64
		}
		return fee.Minor
	}
	for _, u := range all {
		if u.Closed {
			continue
		}
		if form.Text64(u.ID) == asked {
			return u.ID
		}
		if least.ID == 0 || cmp.Or(cmp.Compare(takes(u), takes(least)), cmp.Compare(least.ID, u.ID)) < 0 {
			least = u
		}
	}
	return least.ID
}

// SellAtTill sells the print, and goes back to the till for the next one.
func (f *Sales) SellAtTill(w http.ResponseWriter, r *http.Request) error {
	var in book.Sale
	var v studio.OrderView
	fm := f.tillForm(r, &in)
	err := fm.TakeAnd(r.PostForm, func() (err error) {
		v, err = dispatch.SellInPerson(r.Context(), f.Studio, in)
		return err
	})
	if err != nil {
		return f.ShowAgain(w, r, fm.Name, err, f.Till)
	}
	return f.DoneSaying(w, r, "/till?"+url.Values{"outlet": {form.Text64(in.Outlet)}, "sold": {v.Mark}}.Encode(), "handedin")
}
