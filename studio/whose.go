package studio

import (
	"strings"

	"solander/fault"
	"solander/order"
)

// mostPlaces bounds with how many addresses of one buyer an order is compared: the latest.
const mostPlaces = 50

func pair(a, b int64) [2]int64 { return [2]int64{min(a, b), max(a, b)} }

// toldApart is who was said to be different people.
func (t *turn) toldApart() (map[[2]int64]bool, error) {
	all, err := t.ToldApart()
	out := make(map[[2]int64]bool, len(all))
	for _, p := range all {
		out[p] = true
	}
	return out, err
}

// decide asks whose an order is that comes in so.
func (t *turn) decide(rule order.BuyerRule, b order.Buyer, to order.Address) (order.Decision, error) {
	if rule == order.AlwaysNew {
		return order.Decision{}, nil
	}
	known, err := t.BuyersAlike(b.Name, b.Email)
	if err != nil || len(known) == 0 {
		return order.Decision{}, err
	}
	all, err := t.parties(known)
	if err != nil {
		return order.Decision{}, err
	}
	apart := map[[2]int64]bool{}
	if len(known) > 1 {
		if apart, err = t.toldApart(); err != nil {
			return order.Decision{}, err
		}
	}
	in := order.Party{Name: b.Name, Email: b.Email}
	if order.PlaceKey(to) != "" {
		in.Addresses = []order.Address{to}
	}
	return order.Decide(rule, in, all, func(a, b int64) bool { return apart[pair(a, b)] }), nil
}

// parties are buyers as they are written, with the addresses of the persons that they are.
func (t *turn) parties(all []order.Buyer) ([]order.Party, error) {
	places := map[int64][]order.Address{}
	var out []order.Party
	for _, b := range all {
		id := b.Person()
		if _, ok := places[id]; !ok {
			var err error
			if places[id], err = t.Places(id, mostPlaces); err != nil {
				return nil, err
			}
		}
		out = append(out, order.Party{Person: id, Name: b.Name, Email: b.Email, Addresses: places[id]})
	}
	return out, nil
}

// whose returns the buyer of a sale, making her when she is new, and what the order says of her.
func (t *turn) whose(in Sale) (id int64, said order.Said, maybe []int64, err error) {
	if in.Buyer.ID != 0 {
		b, err := t.person(in.Buyer.ID)
		return b.ID, b.Said(), nil, inField(err, "buyer")
	}
	rule := in.Rule
	if rule == "" {
		rule = order.TakeSame
	}
	fresh := order.Buyer{Name: in.Buyer.Name, Email: in.Buyer.Email, Phone: in.Buyer.Phone, Note: in.Buyer.Note, Apart: rule == order.AlwaysNew}
	said = fresh.Said()
	d, err := t.decide(rule, fresh, in.ShipTo)
	if err != nil {
		return 0, said, nil, err
	}
	if d.Take != 0 && !in.Another {
		return d.Take, said, d.Maybe, t.learn(d.Take, fresh)
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

// person reads a buyer by id; of who was taken as another, that one. Faults: Missing.
func (t *turn) person(id int64) (order.Buyer, error) {
	b, err := t.buyer(id)
	if err != nil || b.SameAs == 0 {
		return b, err
	}
	return t.buyer(b.SameAs)
}

// learn adds to a buyer of the book what the book lacks; what it says stays.
func (t *turn) learn(id int64, more order.Buyer) error {
	is, err := t.buyer(id)
	if err != nil {
		return err
	}
	was := is
	is = filledFrom(is, more)
	if is == was {
		return nil
	}
	t.buyers[id] = is
	_, err = t.SaveBuyer(is)
	return err
}

// filledFrom fills what a buyer lacks with what another writing of her has.
func filledFrom(b, more order.Buyer) order.Buyer {
	for _, x := range []struct {
		to   *string
		from string
	}{{&b.Email, more.Email}, {&b.Phone, more.Phone}, {&b.Note, more.Note}} {
		if *x.to == "" {
			*x.to = x.from
		}
	}
	return b
}

// mostNamed bounds how many names are told of who may be the same.
const mostNamed = 3

// notePossible tells in the journal of an order who its buyer may be.
func (t *turn) notePossible(o order.Order, maybe []int64) error {
	if len(maybe) == 0 {
		return nil
	}
	var names []string
	for _, id := range maybe[:min(len(maybe), mostNamed)] {
		b, err := t.buyer(id)
		if err != nil && !fault.Is(err, fault.Missing) {
			return err
		}
		names = append(names, b.Name)
	}
	return t.note(o.ID, "its buyer may be one who is in the book: %s", strings.Join(names, ", "))
}
