package web

import (
	"fmt"
	"net/http"

	"solander/calendar"
	"solander/order"
	"solander/studio"
)

// inPersonForm says that an order is handed over in person, or sent after all.
func inPersonForm(o order.Order) *form {
	fm := newForm("in-person", fmt.Sprintf("/orders/%d/in-person", o.ID))
	fm.ask("in_person", "").as("hidden").is(map[bool]string{false: "1"}[o.InPerson])
	return fm
}

func handInForm(id int64, today calendar.Day) *form {
	fm := newForm("hand-in", fmt.Sprintf("/orders/%d/hand-in", id))
	fm.ask("day", "Day").day(today)
	return fm
}

func (f *face) inPerson(w http.ResponseWriter, r *http.Request) error {
	return f.deed(w, r, func(v studio.OrderView) *form { return inPersonForm(v.Order) }, func(v studio.OrderView, rd *reader) error {
		yes := rd.text("in_person") != ""
		_, err := f.studio.Amend(r.Context(), studio.AmendIn{Order: v.ID, InPerson: &yes})
		return err
	}, "amended")
}

// handIn hands an order over to its buyer.
func (f *face) handIn(w http.ResponseWriter, r *http.Request) error {
	build := func(v studio.OrderView) *form { return handInForm(v.ID, calendar.Day{}) }
	return f.deed(w, r, build, func(v studio.OrderView, rd *reader) error {
		day := rd.day("day")
		if err := rd.Err(); err != nil {
			return err
		}
		return f.studio.HandIn(r.Context(), studio.HandInIn{Order: v.ID, Day: day})
	}, "handedin")
}
