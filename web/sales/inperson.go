package sales

import (
	"fmt"
	"net/http"

	"solander/book"
	"solander/dispatch"
	"solander/order"
	"solander/studio"
	"solander/web/form"
)

// inPersonForm says that an order is handed over in person, or sent after all.
func inPersonForm(o *order.Order) *form.Form {
	fm := form.New("in-person", fmt.Sprintf("/orders/%d/in-person", o.ID))
	o.InPerson = !o.InPerson
	fm.Tick("in_person", "", &o.InPerson).As("hidden")
	return fm
}

func handInForm(in *dispatch.HandInIn) *form.Form {
	fm := form.New("hand-in", fmt.Sprintf("/orders/%d/hand-in", in.Order))
	fm.Day("day", "Day", &in.Day)
	return fm
}

func (f *Book) InPerson(w http.ResponseWriter, r *http.Request) error {
	return deed(f, w, r, over(inPersonForm), func(v studio.OrderView, now order.Order) error {
		_, err := book.Amend(r.Context(), f.Studio, book.AmendIn{Order: v.ID, InPerson: &now.InPerson})
		return err
	}, "amended")
}

// HandIn hands an order over to its buyer.
func (f *Book) HandIn(w http.ResponseWriter, r *http.Request) error {
	build := func(v studio.OrderView, in *dispatch.HandInIn) *form.Form {
		in.Order = v.ID
		return handInForm(in)
	}
	return deed(f, w, r, build, func(_ studio.OrderView, in dispatch.HandInIn) error {
		return dispatch.HandIn(r.Context(), f.Studio, in)
	}, "handedin")
}
