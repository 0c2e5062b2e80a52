package sales

import (
	"fmt"
	"net/http"

	"solander/book"
	"solander/money"
	"solander/order"
	"solander/studio"
	"solander/web/form"
	"solander/web/page"
)

// deed reads an order, its form, and does one thing to it.
func (f *Book) deed(w http.ResponseWriter, r *http.Request, build func(studio.OrderView) *form.Form, do func(studio.OrderView, *form.Reader) error, says string) error {
	v, err := f.orderOf(r)
	if err != nil {
		return err
	}
	fm := build(v)
	fm.Read(r.PostForm)
	rd := fm.Reader()
	if err := do(v, rd); err != nil {
		if page.Ours(err) {
			return err
		}
		return f.showOrder(w, r, v, page.Failed(fm, r, err))
	}
	return f.DoneSaying(w, r, fmt.Sprintf("/orders/%s", v.Mark), says)
}

func (f *Book) Amend(w http.ResponseWriter, r *http.Request) error {
	return f.deed(w, r, func(v studio.OrderView) *form.Form { return amendForm(v.Order) }, func(v studio.OrderView, rd *form.Reader) error {
		promised, arrive := rd.Day("promised"), rd.Day("arrive_by")
		note, gift := rd.Text("note"), rd.Text("gift_message")
		cur := v.Postage.Currency
		postage, tax, fee := rd.Amount("postage", cur), rd.Amount("tax", cur), rd.Amount("fee", cur)
		if err := rd.Err(); err != nil {
			return err
		}
		in := book.AmendIn{Order: v.ID, ArriveBy: &arrive, Note: &note, GiftMessage: &gift, Postage: changed(postage, v.Postage), Tax: changed(tax, v.Tax), Fee: changed(fee, v.Fee)}
		if promised != v.Promised {
			in.Promised = &promised
		}
		if arrive == v.ArriveBy {
			in.ArriveBy = nil
		}
		_, err := book.AmendSeen(r.Context(), f.Studio, in, func(o order.Order) error { return amendForm(o).StillAs(r.PostForm) })
		return err
	}, "amended")
}

// changed returns an amount that is another one than before; nil otherwise.
func changed(now, before money.Amount) *money.Amount {
	if now.Minor == before.Minor {
		return nil
	}
	return &now
}

func (f *Book) ShipTo(w http.ResponseWriter, r *http.Request) error {
	return f.deed(w, r, func(v studio.OrderView) *form.Form { return shipToForm(v.Order) }, func(v studio.OrderView, rd *form.Reader) error {
		to := form.ReadAddress(rd, "ship_to.")
		if err := rd.Err(); err != nil {
			return err
		}
		seen := func(o order.Order) error { return shipToForm(o).StillAs(r.PostForm) }
		_, err := book.AmendSeen(r.Context(), f.Studio, book.AmendIn{Order: v.ID, ShipTo: &to}, seen)
		return err
	}, "amended")
}

func (f *Book) Override(w http.ResponseWriter, r *http.Request) error {
	build := func(v studio.OrderView) *form.Form {
		return reasonForm("override", fmt.Sprintf("/orders/%d/override", v.ID), "Reason", "recorded for good")
	}
	return f.deed(w, r, build, func(v studio.OrderView, rd *form.Reader) error {
		reason := rd.Text("reason")
		if err := rd.Err(); err != nil {
			return err
		}
		return book.Override(r.Context(), f.Studio, v.ID, reason)
	}, "overridden")
}

func (f *Book) Lift(w http.ResponseWriter, r *http.Request) error {
	build := func(v studio.OrderView) *form.Form { return form.New("lift", "") }
	return f.deed(w, r, build, func(v studio.OrderView, rd *form.Reader) error { return book.LiftOverride(r.Context(), f.Studio, v.ID) }, "lifted")
}

func (f *Book) Cancel(w http.ResponseWriter, r *http.Request) error {
	return f.deed(w, r, cancelForm, func(v studio.OrderView, rd *form.Reader) error {
		in := book.CancelIn{Order: v.ID, Reason: rd.Text("reason"), Refund: rd.Amount("refund", v.Postage.Currency)}
		if err := rd.Err(); err != nil {
			return err
		}
		return book.Cancel(r.Context(), f.Studio, in)
	}, "cancelled")
}

func (f *Book) TakeBack(w http.ResponseWriter, r *http.Request) error {
	return f.deed(w, r, takeBackForm, func(v studio.OrderView, rd *form.Reader) error {
		in := book.TakeBackIn{Order: v.ID, Spoilt: rd.Ticked("spoilt"), Reason: rd.Text("reason"), Refund: rd.Amount("refund", v.Postage.Currency)}
		for _, l := range v.Views {
			if l.Sent && !l.Dropped && rd.Ticked(fmt.Sprintf("line-%d", l.ID)) {
				in.Lines = append(in.Lines, l.ID)
			}
		}
		if err := rd.Err(); err != nil {
			return err
		}
		return book.TakeBack(r.Context(), f.Studio, in)
	}, "returned")
}

// ofLine does one thing to a line; its order is named by the form.
func (f *Book) ofLine(w http.ResponseWriter, r *http.Request, build func(line int64) *form.Form, do func(line int64, rd *form.Reader) error, says string) error {
	line, err := page.PathID(r, "line")
	if err != nil {
		return err
	}
	fm := build(line)
	fm.Read(r.PostForm)
	rd := fm.Reader()
	orderID, err := page.FormID(r, "order")
	if err != nil {
		return err
	}
	if err := do(line, rd); err != nil {
		return f.Again(w, r, page.Failed(fm, r, err), orderID)
	}
	return f.DoneSaying(w, r, fmt.Sprintf("/orders/%d", orderID), says)
}

func (f *Book) Renumber(w http.ResponseWriter, r *http.Request) error {
	return f.ofLine(w, r, renumberForm, func(line int64, rd *form.Reader) error {
		return book.Renumber(r.Context(), f.Studio, line, rd.Text("number"))
	}, "number")
}

func (f *Book) DropLine(w http.ResponseWriter, r *http.Request) error {
	build := func(line int64) *form.Form { return reasonForm(fmt.Sprintf("drop-%d", line), "", "Reason", "") }
	return f.ofLine(w, r, build, func(line int64, rd *form.Reader) error {
		reason := rd.Text("reason")
		if err := rd.Err(); err != nil {
			return err
		}
		return book.DropLine(r.Context(), f.Studio, line, reason)
	}, "dropped")
}
