// Package labelling notes the labels of packed parcels: typed, scanned, or out of a file in a layout of her own.
package labelling

import (
	"solander/order"
	"solander/studio"
)

// Store is what this room asks of the store.
type Store interface {
	OpenParcels() ([]studio.Parcel, error)
	Order(id int64) (order.Order, error)
	OrderByMark(mark string) (order.Order, error)
	Parcel(id int64) (studio.Parcel, error)
	Parcels(order int64) ([]studio.Parcel, error)
	ParcelsTracked(tracking string) ([]studio.Parcel, error)
	SaveParcel(studio.Parcel) error
	SaveSettings(studio.Settings) error
	Shelf() ([]studio.ShelfItem, error)
}

// Labelling is one transaction as this room sees it.
type Labelling struct {
	*studio.Turn
	Store
}

// In returns a transaction as this room sees it.
func In(t *studio.Turn) *Labelling { return &Labelling{t, t.Tx} }

var write, read = studio.Doors(In)
