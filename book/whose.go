package book

import (
	"solander/buyers"
	"solander/fault"
	"solander/order"
)

// whose returns the buyer of a sale, making her when she is new, and what the order says of her.
func (t *Book) whose(in Sale) (id int64, said order.Said, maybe []int64, err error) {
	if in.Buyer.ID != 0 {
		people := buyers.In(t.Turn)
		b, err := people.Person(in.Buyer.ID)
		if err == nil {
			err = people.NotErased(b.ID)
		}
		return b.ID, b.Said(), nil, fault.InField(err, "buyer")
	}
	rule := in.Rule
	if rule == "" {
		rule = order.TakeSame
	}
	fresh := order.Buyer{Name: in.Buyer.Name, Email: in.Buyer.Email, Phone: in.Buyer.Phone, Note: in.Buyer.Note, Apart: rule == order.AlwaysNew}
	said = fresh.Said()
	d, err := buyers.In(t.Turn).Decide(rule, fresh, in.ShipTo)
	if err != nil {
		return 0, said, nil, err
	}
	if d.Take != 0 && !in.Another {
		return d.Take, said, d.Maybe, buyers.In(t.Turn).Learn(d.Take, fresh)
	}
	if id, err = t.SaveBuyer(fresh); err != nil || !in.Another {
		return id, said, d.Maybe, err
	}
	if d.Take != 0 {
		d.Maybe = append(d.Maybe, d.Take)
	}
	for _, other := range d.Maybe {
		if _, err := t.TellApart(id, other); err != nil {
			return id, said, nil, err
		}
	}
	return id, said, nil, nil
}
