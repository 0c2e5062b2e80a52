package buyers

import (
	"slices"
	"strings"

	"solander/fault"
	"solander/order"
)

// MostPlaces bounds with how many addresses of one buyer an order is compared: the latest.
const MostPlaces = 50

// Pair is two buyers, whichever was named first.
func Pair(a, b int64) [2]int64 { return [2]int64{min(a, b), max(a, b)} }

// KnownApart is who was said to be different people.
func (t *People) KnownApart() (map[[2]int64]bool, error) {
	all, err := t.ToldApart()
	out := make(map[[2]int64]bool, len(all))
	for _, p := range all {
		out[p] = true
	}
	return out, err
}

// Decide asks whose an order is that comes in so.
func (t *People) Decide(rule order.BuyerRule, b order.Buyer, to order.Address) (order.Decision, error) {
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
		if apart, err = t.KnownApart(); err != nil {
			return order.Decision{}, err
		}
	}
	in := order.Party{Name: b.Name, Email: b.Email}
	if order.PlaceKey(to) != "" {
		in.Addresses = []order.Address{to}
	}
	return order.Decide(rule, in, all, func(a, b int64) bool { return apart[Pair(a, b)] }), nil
}

// parties are buyers as they are written, with the addresses of the persons that they are.
func (t *People) parties(all []order.Buyer) ([]order.Party, error) {
	people := make([]int64, len(all))
	for i, b := range all {
		people[i] = b.Person()
	}
	slices.Sort(people)
	places, err := t.PlacesOf(slices.Compact(people), MostPlaces)
	var out []order.Party
	for _, b := range all {
		id := b.Person()
		out = append(out, order.Party{Person: id, Name: b.Name, Email: b.Email, Addresses: places[id]})
	}
	return out, err
}

// Person reads a buyer by id; of who was taken as another, that one. Faults: Missing.
func (t *People) Person(id int64) (order.Buyer, error) {
	b, err := t.BuyerOf(id)
	if err != nil || b.SameAs == 0 {
		return b, err
	}
	return t.BuyerOf(b.SameAs)
}

// NotErased refuses a buyer who was erased: nothing is told of her again. Faults: Refused.
func (t *People) NotErased(id int64) error {
	e, err := t.Erased(id)
	switch {
	case fault.Is(err, fault.Missing):
		return nil
	case err != nil:
		return err
	}
	return fault.New(fault.Refused, "this buyer was erased on %s", e.Day).At("buyer %d", id).ToMend("enter who buys now as a new buyer")
}

// Learn adds to a buyer of the book what the book lacks; what it says stays.
func (t *People) Learn(id int64, more order.Buyer) error {
	is, err := t.BuyerOf(id)
	if err != nil {
		return err
	}
	was := is
	is = filledFrom(is, more)
	if is == was {
		return nil
	}
	t.BuyersRead[id] = is
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

// NotePossible tells in the journal of an order who its buyer may be.
func (t *People) NotePossible(o order.Order, maybe []int64) error {
	if len(maybe) == 0 {
		return nil
	}
	var names []string
	for _, id := range maybe[:min(len(maybe), mostNamed)] {
		b, err := t.BuyerOf(id)
		if err != nil && !fault.Is(err, fault.Missing) {
			return err
		}
		names = append(names, b.Name)
	}
	return t.Note(o.ID, "its buyer may be one who is in the book: %s", strings.Join(names, ", "))
}
