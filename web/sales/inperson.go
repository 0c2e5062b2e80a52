package sales

import (
	"fmt"
	"net/http"

	"solander/book"
	"solander/calendar"
	"solander/dispatch"
	"solander/order"
	"solander/studio"
	"solander/web/form"
)

// inPersonForm says that an order is handed over in person, or sent after all.
func inPersonForm(o order.Order) *form.Form {
	fm := form.New("in-person", fmt.Sprintf("/orders/%d/in-person", o.ID))
	fm.Ask("in_person", "").As("hidden").Is(map[bool]string{false: "1"}[o.InPerson])
	return fm
}

func handInForm(id int64, today calendar.Day) *form.Form {
	fm := form.New("hand-in", fmt.Sprintf("/orders/%d/hand-in", id))
	fm.Ask("day", "Day").Day(today)
	return fm
}

func (f *Book) InPerson(w http.ResponseWriter, r *http.Request) error {
	return f.deed(w, r, func(v studio.OrderView) *form.Form { return inPersonForm(v.Order) }, func(v studio.OrderView, rd *form.Reader) error {
		yes := rd.Text("in_person") != ""
		_, err := book.Amend(r.Context(), f.Studio, book.AmendIn{Order: v.ID, InPerson: &yes})
		return err
	}, "amended")
}

// HandIn hands an order over to its buyer.
func (f *Book) HandIn(w http.ResponseWriter, r *http.Request) error {
	build := func(v studio.OrderView) *form.Form { return handInForm(v.ID, calendar.Day{}) }
	return f.deed(w, r, build, func(v studio.OrderView, rd *form.Reader) error {
		day := rd.Day("day")
		if err := rd.Err(); err != nil {
			return err
		}
		return dispatch.HandIn(r.Context(), f.Studio, dispatch.HandInIn{Order: v.ID, Day: day})
	}, "handedin")
}
