package studio

import (
	"context"
	"strings"

	"solander/fault"
	"solander/order"
)

// BuyerView is a buyer with what she ordered, newest first, and the numbers she has or is to get.
type BuyerView struct {
	order.Buyer
	Orders []OrderRow `json:"orders"`
}

// Buyer reads a buyer with up to 500 orders. Faults: Missing.
func (s *Studio) Buyer(ctx context.Context, id int64) (BuyerView, error) {
	v := BuyerView{Orders: []OrderRow{}}
	err := s.read(ctx, func(t *turn) (err error) {
		if v.Buyer, err = t.Buyer(id); err != nil {
			return err
		}
		d, err := t.drawer()
		if err != nil {
			return err
		}
		page, err := t.orderPage(OrderQuery{Buyer: id, Limit: mostPage}, "", d)
		v.Orders = append(v.Orders, page.Rows...)
		return err
	})
	return v, err
}

// ChangeBuyer corrects a buyer's name, e-mail address, phone number or note. It stands so in every order of
// the buyer; the addresses of the orders, and what was printed, stay. Faults: Invalid, Missing.
func (s *Studio) ChangeBuyer(ctx context.Context, b order.Buyer) (order.Buyer, error) {
	b = tidyBuyer(b)
	if b.ID <= 0 {
		return b, fault.Invalidf("buyer", "the buyer is missing").ToMend("say which buyer it is")
	}
	if err := b.Validate(); err != nil {
		return b, err
	}
	err := s.write(ctx, func(t *turn) error {
		was, err := t.Buyer(b.ID)
		if err != nil {
			return err
		}
		return t.changeBuyer(was, b)
	})
	return b, err
}

// tidyBuyer trims what people type around.
func tidyBuyer(b order.Buyer) order.Buyer {
	t := strings.TrimSpace
	b.Name, b.Email, b.Phone, b.Note = t(b.Name), t(b.Email), t(b.Phone), t(b.Note)
	return b
}

func (t *turn) changeBuyer(was, b order.Buyer) error {
	if was == b {
		return nil
	}
	if _, err := t.SaveBuyer(b); err != nil {
		return err
	}
	return t.noteBuyer(was, b)
}

// noteBuyer puts a change of a buyer into the journal of the studio, without the old contact details.
func (t *turn) noteBuyer(was, is order.Buyer) error {
	if was.Name != is.Name {
		return t.note(0, "buyer %s is written %s", was.Name, is.Name)
	}
	return t.note(0, "buyer %s changed", is.Name)
}
