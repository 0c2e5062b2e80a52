package web

import (
	"fmt"
	"net/http"

	"solander/money"
	"solander/order"
	"solander/studio"
)

// deed reads an order, its form, and does one thing to it.
func (f *face) deed(w http.ResponseWriter, r *http.Request, build func(studio.OrderView) *form, do func(studio.OrderView, *reader) error, says string) error {
	v, err := f.orderOf(r)
	if err != nil {
		return err
	}
	fm := build(v)
	fm.read(r.PostForm)
	rd := fm.reader()
	if err := do(v, rd); err != nil {
		if ours(err) {
			return err
		}
		return f.showOrder(w, r, v, failed(fm, r, err))
	}
	return f.doneSaying(w, r, fmt.Sprintf("/orders/%s", v.Mark), says)
}

func (f *face) amend(w http.ResponseWriter, r *http.Request) error {
	return f.deed(w, r, func(v studio.OrderView) *form { return amendForm(v.Order) }, func(v studio.OrderView, rd *reader) error {
		promised, arrive := rd.day("promised"), rd.day("arrive_by")
		note, gift := rd.text("note"), rd.text("gift_message")
		cur := v.Postage.Currency
		postage, tax, fee := rd.amount("postage", cur), rd.amount("tax", cur), rd.amount("fee", cur)
		if err := rd.Err(); err != nil {
			return err
		}
		in := studio.AmendIn{Order: v.ID, ArriveBy: &arrive, Note: &note, GiftMessage: &gift, Postage: changed(postage, v.Postage), Tax: changed(tax, v.Tax), Fee: changed(fee, v.Fee)}
		if promised != v.Promised {
			in.Promised = &promised
		}
		if arrive == v.ArriveBy {
			in.ArriveBy = nil
		}
		_, err := f.studio.AmendSeen(r.Context(), in, func(o order.Order) error { return amendForm(o).stillAs(r.PostForm) })
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

func (f *face) shipTo(w http.ResponseWriter, r *http.Request) error {
	return f.deed(w, r, func(v studio.OrderView) *form { return shipToForm(v.Order) }, func(v studio.OrderView, rd *reader) error {
		to := readAddress(rd, "ship_to.")
		if err := rd.Err(); err != nil {
			return err
		}
		seen := func(o order.Order) error { return shipToForm(o).stillAs(r.PostForm) }
		_, err := f.studio.AmendSeen(r.Context(), studio.AmendIn{Order: v.ID, ShipTo: &to}, seen)
		return err
	}, "amended")
}

func (f *face) override(w http.ResponseWriter, r *http.Request) error {
	build := func(v studio.OrderView) *form {
		return reasonForm("override", fmt.Sprintf("/orders/%d/override", v.ID), "Reason", "recorded for good")
	}
	return f.deed(w, r, build, func(v studio.OrderView, rd *reader) error {
		reason := rd.text("reason")
		if err := rd.Err(); err != nil {
			return err
		}
		return f.studio.Override(r.Context(), v.ID, reason)
	}, "overridden")
}

func (f *face) lift(w http.ResponseWriter, r *http.Request) error {
	build := func(v studio.OrderView) *form { return newForm("lift", "") }
	return f.deed(w, r, build, func(v studio.OrderView, rd *reader) error { return f.studio.LiftOverride(r.Context(), v.ID) }, "lifted")
}

func (f *face) cancel(w http.ResponseWriter, r *http.Request) error {
	return f.deed(w, r, cancelForm, func(v studio.OrderView, rd *reader) error {
		in := studio.CancelIn{Order: v.ID, Reason: rd.text("reason"), Refund: rd.amount("refund", v.Postage.Currency)}
		if err := rd.Err(); err != nil {
			return err
		}
		return f.studio.Cancel(r.Context(), in)
	}, "cancelled")
}

func (f *face) takeBack(w http.ResponseWriter, r *http.Request) error {
	return f.deed(w, r, takeBackForm, func(v studio.OrderView, rd *reader) error {
		in := studio.TakeBackIn{Order: v.ID, Spoilt: rd.ticked("spoilt"), Reason: rd.text("reason"), Refund: rd.amount("refund", v.Postage.Currency)}
		for _, l := range v.Views {
			if l.Sent && !l.Dropped && rd.ticked(fmt.Sprintf("line-%d", l.ID)) {
				in.Lines = append(in.Lines, l.ID)
			}
		}
		if err := rd.Err(); err != nil {
			return err
		}
		return f.studio.TakeBack(r.Context(), in)
	}, "returned")
}

// ofLine does one thing to a line; its order is named by the form.
func (f *face) ofLine(w http.ResponseWriter, r *http.Request, build func(line int64) *form, do func(line int64, rd *reader) error, says string) error {
	line, err := pathID(r, "line")
	if err != nil {
		return err
	}
	fm := build(line)
	fm.read(r.PostForm)
	rd := fm.reader()
	orderID, err := formID(r, "order")
	if err != nil {
		return err
	}
	if err := do(line, rd); err != nil {
		return f.again(w, r, failed(fm, r, err), orderID)
	}
	return f.doneSaying(w, r, fmt.Sprintf("/orders/%d", orderID), says)
}

func (f *face) renumber(w http.ResponseWriter, r *http.Request) error {
	return f.ofLine(w, r, renumberForm, func(line int64, rd *reader) error {
		return f.studio.Renumber(r.Context(), line, rd.text("number"))
	}, "number")
}

func (f *face) dropLine(w http.ResponseWriter, r *http.Request) error {
	build := func(line int64) *form { return reasonForm(fmt.Sprintf("drop-%d", line), "", "Reason", "") }
	return f.ofLine(w, r, build, func(line int64, rd *reader) error {
		reason := rd.text("reason")
		if err := rd.Err(); err != nil {
			return err
		}
		return f.studio.DropLine(r.Context(), line, reason)
	}, "dropped")
}
