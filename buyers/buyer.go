package buyers

import (
	"context"
	"strings"

	"solander/edition"
	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/studio"
)

// BuyerView is a buyer with what she ordered, newest first, and all that is known of her.
type BuyerView struct {
	order.Buyer
	Orders   []studio.OrderRow `json:"orders"` // the latest 500
	Count    int               `json:"count"`  // of all her orders
	Due      money.Amount      `json:"due"`    // of all her orders, as are the next two
	Paid     money.Amount      `json:"paid"`
	Owed     money.Amount      `json:"owed"`
	Numbers  []BuyerNumber     `json:"numbers"`            // that she has or is to get, newest first
	Places   []order.Address   `json:"places"`             // to which her orders went, the latest first
	Writings []order.Buyer     `json:"writings,omitempty"` // others who were taken as her
	Likely   []LikelyBuyer     `json:"likely,omitempty"`   // who may be the same person
}

// BuyerNumber is a print that a buyer has or is to get.
type BuyerNumber struct {
	Edition int64          `json:"edition"`
	Number  edition.Number `json:"number"`
	Label   string         `json:"label"` // "17/250"; "" of an open edition
	Title   string         `json:"title"`
	Order   string         `json:"order"` // its mark
	Sent    bool           `json:"sent"`
}

// Buyer reads a buyer; by the number of one who was taken as another, that one. Faults: Missing.
func Buyer(ctx context.Context, s *studio.Studio, id int64) (BuyerView, error) {
	return studio.Got(ctx, s, read, func(t *People) (BuyerView, error) { return t.BuyerView(id) })
}

// BuyerView is a buyer with the orders and what is known of who else she may be.
func (t *People) BuyerView(id int64) (BuyerView, error) {
	none := money.Of(0, t.Set.Currency)
	v := BuyerView{Orders: []studio.OrderRow{}, Numbers: []BuyerNumber{}, Places: []order.Address{}, Due: none, Paid: none, Owed: none}
	var err error
	if v.Buyer, err = t.Person(id); err != nil {
		return v, err
	}
	if err := t.buyersOrders(&v); err != nil {
		return v, err
	}
	places, err := t.Places(v.ID, MostPlaces)
	if err != nil {
		return v, err
	}
	v.Places = append(v.Places, places...)
	if v.Writings, err = t.Writings(v.ID); err != nil {
		return v, err
	}
	v.Likely, err = t.likelyOf(v.Buyer, v.Writings)
	return v, err
}

// buyersOrders reads all orders of a buyer, and adds them up.
func (t *People) buyersOrders(v *BuyerView) error {
	d, err := t.Drawer()
	if err != nil {
		return err
	}
	for q := (studio.OrderQuery{Buyer: v.ID, Limit: studio.MostPage}); ; {
		all, err := t.Orders(q)
		if err != nil {
			return err
		}
		for _, o := range all {
			q.Before = o.ID
			if err := t.buyersOrder(v, o, d); err != nil {
				return err
			}
		}
		if len(all) < q.Limit {
			return nil
		}
	}
}

func (t *People) buyersOrder(v *BuyerView, o order.Order, d *studio.Drawer) error {
	v.Count++
	v.Due.Minor += o.Due().Minor
	v.Paid.Minor += o.Paid().Minor
	v.Owed.Minor += o.Owed().Minor
	if len(v.Orders) < studio.MostPage {
		row, err := t.OrderRow(o, d)
		if err != nil {
			return err
		}
		v.Orders = append(v.Orders, row)
	}
	for _, l := range o.Live() {
		e, err := t.EditionOf(l.Edition)
		if err != nil {
			return err
		}
		v.Numbers = append(v.Numbers, BuyerNumber{Edition: e.ID, Number: l.Number, Label: l.Number.Of(e), Title: e.Name(t.Set.Units), Order: o.Mark, Sent: l.Sent})
	}
	return nil
}

// BuyerRow is a buyer in a list.
type BuyerRow struct {
	order.Buyer
	studio.Dealing
}

// BuyerPage is one page of a list of buyers.
type BuyerPage struct {
	Rows []BuyerRow `json:"rows"`
	Next int64      `json:"next"` // BuyerQuery.After of the next page; 0 = no more
}

// Buyers lists buyers by name, 50 a page. Who was taken as another is found as that one.
func Buyers(ctx context.Context, s *studio.Studio, q studio.BuyerQuery) (BuyerPage, error) {
	return studio.Got(ctx, s, read, func(t *People) (BuyerPage, error) { return t.BuyerPage(q) })
}

// BuyerPage is a page of the buyers.
func (t *People) BuyerPage(q studio.BuyerQuery) (BuyerPage, error) {
	page := BuyerPage{Rows: []BuyerRow{}}
	if q.Limit <= 0 {
		q.Limit = studio.PageLimit
	}
	limit := min(q.Limit, studio.MostPage)
	q.Limit = limit + 1
	all, err := t.People(q)
	if err != nil {
		return page, err
	}
	if len(all) > limit {
		all = all[:limit]
		page.Next = all[limit-1].ID
	}
	var ids []int64
	for _, b := range all {
		ids = append(ids, b.ID)
	}
	dealings, err := t.Dealings(ids)
	for _, b := range all {
		page.Rows = append(page.Rows, BuyerRow{b, dealings[b.ID]})
	}
	return page, err
}

// ChangeBuyer corrects a buyer's name, e-mail address, phone number or note, as ChangeSettings does. It stands so in every order of
// the buyer; the addresses of the orders, and what was printed, stay. Faults: Invalid, Missing.
func ChangeBuyer(ctx context.Context, s *studio.Studio, id int64, change func(*order.Buyer) error) (b order.Buyer, err error) {
	if id <= 0 {
		return b, fault.Invalidf("buyer", "the buyer is missing").ToMend("say which buyer it is")
	}
	err = write(ctx, s, func(t *People) error {
		was, err := t.Person(id)
		if err != nil {
			return err
		}
		if err := t.NotErased(was.ID); err != nil {
			return err
		}
		b = was
		if err := change(&b); err != nil {
			return err
		}
		b = TidyBuyer(b)
		b.ID, b.SameAs, b.Apart = was.ID, was.SameAs, was.Apart // the book knows
		if err := b.Validate(); err != nil {
			return err
		}
		return t.ChangeBuyer(was, b)
	})
	return b, err
}

// TidyBuyer trims what people type around.
func TidyBuyer(b order.Buyer) order.Buyer {
	t := strings.TrimSpace
	b.Name, b.Email, b.Phone, b.Note = t(b.Name), t(b.Email), t(b.Phone), t(b.Note)
	return b
}

// ChangeBuyer keeps a buyer as she is now, and says in the journal what she was.
func (t *People) ChangeBuyer(was, b order.Buyer) error {
	if was == b {
		return nil
	}
	if _, err := t.SaveBuyer(b); err != nil {
		return err
	}
	return t.noteBuyer(was, b)
}

// noteBuyer puts a change of a buyer into the journal of the studio, without the old contact details.
func (t *People) noteBuyer(was, is order.Buyer) error {
	if was.Name != is.Name {
		return t.Note(0, "buyer %s is written %s", was.Name, is.Name)
	}
	return t.Note(0, "buyer %s changed", is.Name)
}
