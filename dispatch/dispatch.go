// Package dispatch moves parcels through the house: packed as they are planned, handed over, and taken back.
package dispatch

import (
	"solander/order"
	"solander/studio"
)

// Store is what this room asks of the store.
type Store interface {
	AddHandOver(studio.HandOver) (int64, error)
	AddParcel(studio.Parcel) (int64, error)
	DropHandOver(id int64) error
	DropParcel(id int64) error
	HandOver(id int64) (studio.HandOver, []studio.Parcel, error)
	HandOvers(limit int) ([]studio.HandOver, error)
	Mark(id int64) (studio.Mark, error)
	OpenParcels() ([]studio.Parcel, error)
	Order(id int64) (order.Order, error)
	OrderByLine(line int64) (order.Order, error)
	OrdersByID(ids []int64) ([]order.Order, error)
	Parcel(id int64) (studio.Parcel, error)
	RecentMarks(limit int) ([]studio.Mark, error)
	SaveLine(order.Line) error
	SaveOrder(order.Order) error
	SaveParcel(studio.Parcel) error
	Shelf() ([]studio.ShelfItem, error)
	UndoMark(id int64) error
}

// Dispatch is one transaction as this room sees it.
type Dispatch struct {
	*studio.Turn
	Store
}

// In returns a transaction as this room sees it.
func In(t *studio.Turn) *Dispatch { return &Dispatch{t, t.Tx} }

var write, read = studio.Doors(In)
