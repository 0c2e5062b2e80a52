// Package ahead shows the days ahead: what goes on which of the next working days, what it costs, what is saved by waiting and what is scarce;
// and lets the artist say that an order waits, or is sent at once after all, there and on the bench.
package ahead

import (
	"fmt"
	"net/http"
	"slices"
	"strings"

	"solander/calendar"
	"solander/waiting"
	"solander/web/form"
	"solander/web/page"
)

// Ahead is the room.
type Ahead struct{ *page.Kit }

// Page is the days ahead.
type Page struct {
	page.Frame
	View  waiting.View
	Days  []day
	Waits []row // orders that wait, or may; or for which packaging is kept, or may be; or of which that does not hold any more
	Held  []waiting.Order
	None  bool // no order goes
}

// day is one working day.
type day struct {
	waiting.Day
	Today bool
	Takes []string // of what is scarce
}

// row is an order that waits, or may.
type row struct {
	waiting.Order
	Form   *form.Form
	Button string
}

// WaitForm is one button: until when, as it was seen, stands in it.
func WaitForm(id int64, in *waiting.WaitIn) *form.Form {
	fm := form.New(fmt.Sprint("wait-", id), fmt.Sprintf("/orders/%d/wait", id))
	fm.Day("until", "", &in.Until).As("hidden")
	return fm
}

// SendForm is one button that sends an order which waits.
func SendForm(id int64) *form.Form {
	return form.New(fmt.Sprint("send-", id), fmt.Sprintf("/orders/%d/send-today", id))
}

// Words on the buttons.
const (
	WaitWord  = "Wait for it"
	SendWord  = "Send today"
	KeepWord  = "Keep it"
	LooseWord = "Do not keep it"
)

// Ahead shows the days ahead.
func (f *Ahead) Ahead(w http.ResponseWriter, r *http.Request) error { return f.show(w, r, nil) }

func (f *Ahead) show(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	fr, err := f.Frame(r, "bench", "The days ahead")
	if err != nil {
		return err
	}
	later, err := waiting.AheadLater(r.Context(), f.Seen(r), 0)
	if err != nil {
		return err
	}
	return page.Planned(f.Kit, w, r, "The days ahead", "bench", later, func(w http.ResponseWriter, r *http.Request, v waiting.View) error {
		p := &Page{Frame: fr, View: v}
		p.Tell(fail)
		p.arrange()
		return f.Show(w, r, page.StatusOf(fail), "ahead", p)
	})
}

// arrange lays out the days and what waits.
func (p *Page) arrange() {
	p.None = true
	for _, d := range p.View.Days {
		x := day{Day: d, Today: d.Day == p.Today}
		for _, s := range d.Sent {
			p.None = false
			for _, t := range s.Takes {
				x.Takes = append(x.Takes, t+" for "+strings.Join(s.Orders, " with "))
			}
		}
		p.Days = append(p.Days, x)
	}
	for _, o := range p.View.Orders {
		switch {
		case o.Day.IsZero():
			p.Held = append(p.Held, o)
		case o.Waits, o.MayKeep(), o.Broken != "":
			p.Waits = append(p.Waits, rowOf(o))
		}
	}
	slices.SortStableFunc(p.Waits, func(a, b row) int { return strings.Compare(a.Mark, b.Mark) })
}

// rowOf offers what may be said of an order: nothing when it cannot go sooner.
func rowOf(o waiting.Order) row {
	r := row{Order: o}
	switch {
	case o.Said && o.Waits:
		r.Form, r.Button = SendForm(o.ID).Back(here), SendWord
	case o.Said:
		r.Form, r.Button = SendForm(o.ID).Back(here), LooseWord
	case o.MayKeep():
		r.Form, r.Button = WaitForm(o.ID, &waiting.WaitIn{Until: o.Day}).Back(here), KeepWord
	case !o.Waits:
		r.Text = "goes " + o.Day.Short() + "."
	case !o.Must:
		r.Form, r.Button = WaitForm(o.ID, &waiting.WaitIn{Until: o.Day}).Back(here), WaitWord
	}
	return r
}

// here is how a form says that it stood on this page.
const here = "ahead"

// Wait says that an order waits.
func (f *Ahead) Wait(w http.ResponseWriter, r *http.Request, id int64) error {
	in := waiting.WaitIn{Order: id, Until: calendar.Day{}}
	fm := WaitForm(id, &in)
	return f.deed(w, r, id, fm, fm.TakeAnd(r.PostForm, func() error {
		_, err := waiting.Wait(r.Context(), f.Studio, in)
		return err
	}))
}

// SendToday says that an order waits no more.
func (f *Ahead) SendToday(w http.ResponseWriter, r *http.Request, id int64) error {
	return f.deed(w, r, id, SendForm(id), waiting.SendToday(r.Context(), f.Studio, id))
}

// deed leads back to where the form stood.
func (f *Ahead) deed(w http.ResponseWriter, r *http.Request, id int64, fm *form.Form, err error) error {
	stood := r.PostForm.Get("back") == here
	switch {
	case err != nil && stood:
		return f.ShowAgain(w, r, fm.Name, err, f.show)
	case err != nil:
		return f.Again(w, r, page.Failed(fm, r, err), id)
	case stood:
		return f.Done(w, r, "/ahead")
	}
	return f.Done(w, r, f.BackTo(r, id))
}
