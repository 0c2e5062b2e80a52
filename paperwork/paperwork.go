// Package paperwork makes the papers of a day and of an order from what is planned and packed; it writes nothing.
package paperwork

import (
	"solander/order"
	"solander/picture"
	"solander/studio"
)

// Store is what this room asks of the store.
type Store interface {
	HandOver(id int64) (studio.HandOver, []studio.Parcel, error)
	Order(id int64) (order.Order, error)
	Parcel(id int64) (studio.Parcel, error)
	Parcels(order int64) ([]studio.Parcel, error)
	PictureBody(work int64, size picture.Size) ([]byte, error)
}

// Paperwork is one transaction as this room sees it.
type Paperwork struct {
	*studio.Turn
	Store
}

// In returns a transaction as this room sees it.
func In(t *studio.Turn) *Paperwork { return &Paperwork{t, t.Tx} }

var _, read = studio.Doors(In)
