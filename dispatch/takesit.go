package dispatch

import (
	"context"

	"solander/book"
	"solander/fault"
	"solander/order"
	"solander/register"
	"solander/studio"
)

// Unnamed is who bought what was sold over the table to somebody who gave no name.
const Unnamed = "not named"

// SellInPerson takes a sale whose prints the buyer takes with her: one transaction takes it into the book, notes that all of it is paid now,
// signs what is not signed yet, and hands it over. Without a name the buyer is Unnamed, a new one each time. It goes by the rules of
// book.TakeOrder, register.Sign and HandIn, and each of its marks is undone as theirs.
// Faults: as theirs; Invalid when an address, postage or another payment is given.
func SellInPerson(ctx context.Context, s *studio.Studio, in book.Sale) (studio.OrderView, error) {
	in = inPerson(in)
	var l fault.List
	l.Check(in.Postage.IsZero(), "postage", "nothing is posted", "leave it out, or take an ordinary sale")
	l.Check(in.Paid.IsZero(), "paid", "all of it is paid now", "leave it out, or take an ordinary sale")
	l.Add(in.Validate())
	if err := l.Err(); err != nil {
		return studio.OrderView{}, err
	}
	var v studio.OrderView
	err := write(ctx, s, func(t *Dispatch) error {
		id, err := book.In(t.Turn).TakeOrder(in)
		if err != nil {
			return err
		}
		if err = t.payWhole(id, in); err != nil {
			return err
		}
		if err = t.signWhole(id); err != nil {
			return err
		}
		o, err := t.Order(id)
		if err != nil {
			return err
		}
		if err = t.mayHandIn(o, o.Placed); err != nil {
			return err
		}
		if err = t.handIn(o, o.Placed); err != nil {
			return err
		}
		v, err = t.Taken(id)
		return err
	})
	return v, err
}

func inPerson(in book.Sale) book.Sale {
	in.InPerson, in.ShipTo, in.Promised = true, order.Address{}, in.Placed
	in = in.Tidy()
	if in.Buyer == (order.Buyer{}) {
		in.Buyer, in.Rule = order.Buyer{Name: Unnamed}, order.AlwaysNew
	}
	return in
}

// payWhole notes that what an order owes was paid on the day of the sale.
func (t *Dispatch) payWhole(id int64, in book.Sale) error {
	o, err := t.Order(id)
	if err != nil {
		return err
	}
	return book.In(t.Turn).PayRest(o, book.PaymentIn{Order: id, Day: o.Placed, Note: in.PaidNote, How: in.PaidHow})
}

// signWhole signs the prints of an order that are not signed: she signs them at the table.
func (t *Dispatch) signWhole(id int64) error {
	o, err := t.Order(id)
	if err != nil {
		return err
	}
	d, err := t.Drawer()
	if err != nil {
		return err
	}
	lacks, err := t.Lacks(o, d)
	if err != nil {
		return err
	}
	var none []order.Lack
	for _, x := range lacks {
		if x.Rule == order.LackSheet {
			none = append(none, x)
		}
	}
	if len(none) > 0 {
		return o.Refuse(none)
	}
	var lines []int64
	for _, l := range o.Live() {
		if !l.Signed {
			lines = append(lines, l.ID)
		}
	}
	if len(lines) == 0 {
		return nil
	}
	return register.In(t.Turn).Sign(lines, d)
}
