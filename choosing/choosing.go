// Package choosing is the artist's choice of another way to send an order than the cheapest: the ways that there are, one of them taken with
// its reason, and taken back. What a way shows is what the plan of the day, and packing, do when it is taken: one function plans both.
package choosing

import (
	"solander/dayplan"
	"solander/order"
	"solander/planning"
	"solander/studio"
)

// Store is what this room asks of the store.
type Store interface {
	Order(id int64) (order.Order, error)
	OrderByMark(mark string) (order.Order, error)
	SaveOrder(order.Order) error
}

// Choosing is one transaction as this room sees it.
type Choosing struct {
	*studio.Turn
	Store
}

// In returns a transaction as this room sees it.
func In(t *studio.Turn) *Choosing { return &Choosing{t, t.Tx} }

var write, read = studio.Doors(In)

// asked reads an order with what its plan follows from. Faults: as planning.Plan.
func (t *Choosing) asked(s *studio.Studio, id int64) (o order.Order, one, all dayplan.Ask, err error) {
	if o, err = t.Order(id); err != nil {
		return o, one, all, err
	}
	lines, err := planning.ToPack(o)
	if err != nil {
		return o, one, all, err
	}
	if what := o.NoAddress(); what != "" {
		return o, one, all, studio.NoAddress(o, what)
	}
	d, err := t.Drawer()
	if err != nil {
		return o, one, all, err
	}
	one, all, err = planning.Asked(s, planning.In(t.Turn), d, o, lines, t.Today)
	return o, one, all, err
}
