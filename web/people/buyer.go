package people

import (
	"fmt"
	"net/http"

	"solander/buyers"
	"solander/fault"
	"solander/order"
	"solander/privacy"
	"solander/upkeep"
	"solander/web/form"
	"solander/web/page"
)

// BuyerPage is one buyer with every order of hers.
type BuyerPage struct {
	page.Frame
	Buyer  buyers.BuyerView
	Rows   []page.OrderRow
	Form   *form.Form
	Part   *form.Form // gives some orders to a buyer of their own
	Likely []likelyRow
	Erased *upkeep.Erasure // nil = she is not
}

func buyerForm(b *order.Buyer) *form.Form {
	fm := form.New("buyer", fmt.Sprintf("/buyers/%d", b.ID))
	askBuyer(fm, b)
	fm.Find("buyer").Must()
	fm.Area("buyer_note", "Note", &b.Note).Wide().WithHint("for the studio alone")
	return fm.Sealed()
}

// askBuyer asks who a buyer is.
func askBuyer(fm *form.Form, b *order.Buyer) {
	fm.Text("buyer", "Name", &b.Name).WithAuto("off")
	fm.Text("email", "E-mail", &b.Email).As("email").WithAuto("off")
	fm.Text("phone", "Phone", &b.Phone).WithMode("tel").WithAuto("off")
}

func (f *People) Buyer(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	id, err := page.PathID(r, "buyer")
	if err != nil {
		return err
	}
	v, err := buyers.Buyer(r.Context(), f.Seen(r), id)
	if err != nil {
		return err
	}
	fr, err := f.Frame(r, "orders", v.Name)
	if err != nil {
		return err
	}
	if v.ID != id && fail == nil {
		http.Redirect(w, r, fmt.Sprintf("/buyers/%d", v.ID), http.StatusSeeOther)
		return nil
	}
	p := &BuyerPage{Frame: fr, Buyer: v, Rows: page.RowsOf(v.Orders, fr.Today), Likely: likelyRows(1, v.Likely)}
	p.Tell(fail)
	e, err := privacy.ErasedBuyer(r.Context(), f.Seen(r), v.ID)
	if err == nil {
		p.Erased, p.Likely = &e, nil
		return f.Show(w, r, page.StatusOf(fail), "buyer", p)
	}
	if !fault.Is(err, fault.Missing) {
		return err
	}
	p.Form = p.Put(buyerForm(&v.Buyer), fail)
	if v.Count > 1 {
		p.Part = p.Put(partForm(v.ID, new(order.Buyer)), fail)
	}
	return f.Show(w, r, page.StatusOf(fail), "buyer", p)
}

func (f *People) SaveBuyer(w http.ResponseWriter, r *http.Request, id int64) error {
	if _, err := buyers.ChangeBuyer(r.Context(), f.Studio, id, form.Changing(r, buyerForm)); err != nil {
		return f.ShowAgain(w, r, "buyer", err, f.Buyer)
	}
	return f.DoneSaying(w, r, fmt.Sprintf("/buyers/%d", id), "buyer")
}
