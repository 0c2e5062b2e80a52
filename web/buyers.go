package web

import (
	"fmt"
	"net/http"

	"solander/order"
	"solander/studio"
)

// buyerPage is one buyer with every order of hers.
type buyerPage struct {
	frame
	Buyer  studio.BuyerView
	Rows   []orderRow
	Form   *form
	Part   *form // gives some orders to a buyer of their own
	Likely []likelyRow
}

func buyerForm(b order.Buyer) *form {
	fm := newForm("buyer", fmt.Sprintf("/buyers/%d", b.ID))
	fm.ask("buyer", "Name").is(b.Name).must().auto("off")
	fm.ask("email", "E-mail").as("email").is(b.Email).auto("off")
	fm.ask("phone", "Phone").mode("tel").is(b.Phone).auto("off")
	fm.ask("buyer_note", "Note").as("area").is(b.Note).wide().hint("for the studio alone")
	return fm
}

func (f *face) buyer(w http.ResponseWriter, r *http.Request) error {
	return f.showBuyer(w, r, nil, nil)
}

func (f *face) showBuyer(w http.ResponseWriter, r *http.Request, fm *form, fail *failure) error {
	id, err := pathID(r, "buyer")
	if err != nil {
		return err
	}
	v, err := f.studio.Buyer(r.Context(), id)
	if err != nil {
		return err
	}
	fr, err := f.frame(r, "orders", v.Name)
	if err != nil {
		return err
	}
	if v.ID != id && fail == nil {
		http.Redirect(w, r, fmt.Sprintf("/buyers/%d", v.ID), http.StatusSeeOther)
		return nil
	}
	if fm == nil {
		fm = buyerForm(v.Buyer)
	}
	p := &buyerPage{frame: fr, Buyer: v, Rows: rowsOf(v.Orders, fr.Today), Likely: likelyRows(1, v.Likely)}
	p.tell(fail)
	p.Form = p.put(fm, fail)
	if v.Count > 1 {
		p.Part = p.put(partForm(v.Buyer), fail)
	}
	return f.show(w, r, statusOf(fail), "buyer", p)
}

func (f *face) saveBuyer(w http.ResponseWriter, r *http.Request) error {
	id, err := pathID(r, "buyer")
	if err != nil {
		return err
	}
	fm := buyerForm(order.Buyer{ID: id})
	fm.read(r.PostForm)
	rd := fm.reader()
	b := order.Buyer{ID: id, Name: rd.text("buyer"), Email: rd.text("email"), Phone: rd.text("phone"), Note: rd.text("buyer_note")}
	if err = rd.Err(); err == nil {
		_, err = f.studio.ChangeBuyer(r.Context(), b)
	}
	if err != nil {
		if ours(err) {
			return err
		}
		return f.showBuyer(w, r, fm, failed(fm, r, err))
	}
	return f.doneSaying(w, r, fmt.Sprintf("/buyers/%d", id), "buyer")
}
