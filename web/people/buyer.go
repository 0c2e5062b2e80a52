package people

import (
	"fmt"
	"net/http"

	"solander/buyers"
	"solander/order"
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
}

func buyerForm(b order.Buyer) *form.Form {
	fm := form.New("buyer", fmt.Sprintf("/buyers/%d", b.ID))
	fm.Ask("buyer", "Name").Is(b.Name).Must().WithAuto("off")
	fm.Ask("email", "E-mail").As("email").Is(b.Email).WithAuto("off")
	fm.Ask("phone", "Phone").WithMode("tel").Is(b.Phone).WithAuto("off")
	fm.Ask("buyer_note", "Note").As("area").Is(b.Note).Wide().WithHint("for the studio alone")
	return fm.Sealed()
}

func (f *People) Buyer(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	id, err := page.PathID(r, "buyer")
	if err != nil {
		return err
	}
	v, err := buyers.Buyer(r.Context(), f.Studio, id)
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
	p.Form = p.Put(buyerForm(v.Buyer), fail)
	if v.Count > 1 {
		p.Part = p.Put(partForm(v.Buyer), fail)
	}
	return f.Show(w, r, page.StatusOf(fail), "buyer", p)
}

func (f *People) SaveBuyer(w http.ResponseWriter, r *http.Request) error {
	id, err := page.PathID(r, "buyer")
	if err != nil {
		return err
	}
	if _, err := buyers.ChangeBuyer(r.Context(), f.Studio, id, form.Changing(r, buyerForm, readBuyer)); err != nil {
		return page.ShowAgain(w, r, "buyer", err, f.Buyer)
	}
	return f.DoneSaying(w, r, fmt.Sprintf("/buyers/%d", id), "buyer")
}

func readBuyer(rd *form.Reader, b order.Buyer) order.Buyer {
	b.Name, b.Email, b.Phone, b.Note = rd.Text("buyer"), rd.Text("email"), rd.Text("phone"), rd.Text("buyer_note")
	return b
}
