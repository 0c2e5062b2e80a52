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
	return fm.sealed()
}

func (f *face) buyer(w http.ResponseWriter, r *http.Request) error {
	return f.showBuyer(w, r, nil)
}

func (f *face) showBuyer(w http.ResponseWriter, r *http.Request, fail *failure) error {
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
	p := &buyerPage{frame: fr, Buyer: v, Rows: rowsOf(v.Orders, fr.Today), Likely: likelyRows(1, v.Likely)}
	p.tell(fail)
	p.Form = p.put(buyerForm(v.Buyer), fail)
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
	if _, err := f.studio.ChangeBuyer(r.Context(), id, changing(r, buyerForm, readBuyer)); err != nil {
		if ours(err) {
			return err
		}
		return f.showBuyer(w, r, failedIn("buyer", r, err))
	}
	return f.doneSaying(w, r, fmt.Sprintf("/buyers/%d", id), "buyer")
}

func readBuyer(rd *reader, b order.Buyer) order.Buyer {
	b.Name, b.Email, b.Phone, b.Note = rd.text("buyer"), rd.text("email"), rd.text("phone"), rd.text("buyer_note")
	return b
}
