package sales

import (
	"context"
	"fmt"
	"net/http"

	"solander/book"
	"solander/calendar"
	"solander/money"
	"solander/order"
	"solander/studio"
	"solander/web/form"
	"solander/web/page"
)

// deed reads an order and the form of one deed, and does it. build lays the form out over what the deed needs.
func deed[T any](f *Book, w http.ResponseWriter, r *http.Request, build func(studio.OrderView, *T) *form.Form, do func(studio.OrderView, T) error, says string) error {
	v, err := f.orderOf(r)
	if err != nil {
		return err
	}
	var in T
	fm := build(v, &in)
	err = fm.TakeAnd(r.PostForm, func() error { return do(v, in) })
	if err != nil {
		return f.ShowAgain(w, r, fm.Name, err, func(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
			return f.showOrder(w, r, v, fail)
		})
	}
	return f.DoneSaying(w, r, fmt.Sprintf("/orders/%s", v.Mark), says)
}

// over lays a form out over a copy of the order.
func over(build func(*order.Order) *form.Form) func(studio.OrderView, *order.Order) *form.Form {
	return func(v studio.OrderView, o *order.Order) *form.Form {
		*o = v.Order
		return build(o)
	}
}

// seen refuses what was typed into a form that was made when something else stood in the order.
func seen(r *http.Request, build func(*order.Order) *form.Form) func(order.Order) error {
	return func(o order.Order) error { return build(&o).StillAs(r.PostForm) }
}

func (f *Book) Amend(w http.ResponseWriter, r *http.Request) error {
	return deed(f, w, r, over(amendForm), func(v studio.OrderView, now order.Order) error {
		in := book.AmendIn{
			Order: v.ID, Note: &now.Note, GiftMessage: &now.GiftMessage, Postage: changed(now.Postage, v.Postage),
			Tax: changed(now.Tax, v.Tax), Fee: changed(now.Fee, v.Fee), Promised: other(now.Promised, v.Promised), ArriveBy: other(now.ArriveBy, v.ArriveBy),
		}
		_, err := book.AmendSeen(r.Context(), f.Studio, in, seen(r, amendForm))
		return err
	}, "amended")
}

// other returns a day that is another one than before; nil otherwise.
func other(now, before calendar.Day) *calendar.Day {
	if now == before {
		return nil
	}
	return &now
}

// changed returns an amount that is another one than before; nil otherwise.
func changed(now, before money.Amount) *money.Amount {
	if now.Minor == before.Minor {
		return nil
	}
	return &now
}

func (f *Book) ShipTo(w http.ResponseWriter, r *http.Request) error {
	return deed(f, w, r, over(shipToForm), func(v studio.OrderView, now order.Order) error {
		_, err := book.AmendSeen(r.Context(), f.Studio, book.AmendIn{Order: v.ID, ShipTo: &now.ShipTo}, seen(r, shipToForm))
		return err
	}, "amended")
}

func (f *Book) Override(w http.ResponseWriter, r *http.Request) error {
	return deed(f, w, r, overrideForm, func(v studio.OrderView, reason string) error {
		return book.Override(r.Context(), f.Studio, v.ID, reason)
	}, "overridden")
}

func (f *Book) Lift(w http.ResponseWriter, r *http.Request) error {
	build := func(studio.OrderView, *struct{}) *form.Form { return form.New("lift", "") }
	return deed(f, w, r, build, func(v studio.OrderView, _ struct{}) error { return book.LiftOverride(r.Context(), f.Studio, v.ID) }, "lifted")
}

func (f *Book) Cancel(w http.ResponseWriter, r *http.Request) error {
	return deed(f, w, r, cancelForm, func(v studio.OrderView, in book.CancelIn) error {
		in.Order = v.ID
		return book.Cancel(r.Context(), f.Studio, in)
	}, "cancelled")
}

func (f *Book) TakeBack(w http.ResponseWriter, r *http.Request) error {
	return deed(f, w, r, takeBackForm, func(v studio.OrderView, in book.TakeBackIn) error {
		in.Order = v.ID
		return book.TakeBack(r.Context(), f.Studio, in)
	}, "returned")
}

// ofLine does one thing to a line, with the one thing that its form asks for; its order is named by the form.
func ofLine[T any](f *Book, w http.ResponseWriter, r *http.Request, build func(line int64, word *T) *form.Form, do func(ctx context.Context, s *studio.Studio, line int64, word T) error, says string) error {
	line, err := page.PathID(r, "line")
	if err != nil {
		return err
	}
	orderID, err := page.FormID(r, "order")
	if err != nil {
		return err
	}
	var word T
	fm := build(line, &word)
	err = fm.TakeAnd(r.PostForm, func() error { return do(r.Context(), f.Studio, line, word) })
	if err != nil {
		return f.Again(w, r, page.Failed(fm, r, err), orderID)
	}
	return f.DoneSaying(w, r, fmt.Sprintf("/orders/%d", orderID), says)
}

func (f *Book) Renumber(w http.ResponseWriter, r *http.Request) error {
	return ofLine(f, w, r, renumberForm, book.Renumber, "number")
}

func (f *Book) DropLine(w http.ResponseWriter, r *http.Request) error {
	return ofLine(f, w, r, dropForm, book.DropLine, "dropped")
}

func (f *Book) LinePrice(w http.ResponseWriter, r *http.Request) error {
	return ofLine(f, w, r, linePriceForm, book.LinePrice, "line-price")
}
