// Package waiting is the days ahead: which orders go on which of the next working days, what it saves that one waits, and the artist's word
// that it does. What the days ahead say of today is what the plan of today does once she said so: one function plans both.
package waiting

import (
	"solander/order"
	"solander/studio"
)

// Store is what this room asks of the store.
type Store interface {
	Order(id int64) (order.Order, error)
	SaveOrder(order.Order) error
	Shelf() ([]studio.ShelfItem, error)
}

// Waiting is one transaction as this room sees it.
type Waiting struct {
	*studio.Turn
	Store
}

// In returns a transaction as this room sees it.
func In(t *studio.Turn) *Waiting { return &Waiting{t, t.Tx} }

var write, read = studio.Doors(In)

// How many working days are planned together: unless asked otherwise, and at most.
const (
	Days     = 5
	MostDays = 15
)
