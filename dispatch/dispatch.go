// Package dispatch is the bench of a day: pack, label, hand over, and what is printed for it.
package dispatch

import (
	"solander/order"
	"solander/picture"
	"solander/studio"
	"solander/supply"
)

// Store is what this room asks of the store.
type Store interface {
	studio.ParcelStore
	Mark(id int64) (studio.Mark, error)
	Moves(kind supply.MoveKind, of int64, limit int) ([]supply.Move, error)
	Order(id int64) (order.Order, error)
	OrderByLine(line int64) (order.Order, error)
	OrderByMark(mark string) (order.Order, error)
	OrdersByID(ids []int64) ([]order.Order, error)
	RecentMarks(limit int) ([]studio.Mark, error)
	SaveLine(order.Line) error
	SaveOrder(order.Order) error
	SaveSettings(studio.Settings) error
	Shelf() ([]studio.ShelfItem, error)
	UndoMark(id int64) error
	PictureBody(work int64, size picture.Size) ([]byte, error)
}

// Dispatch is one transaction as this room sees it.
type Dispatch struct {
	*studio.Turn
	Store
}

// In returns a transaction as this room sees it.
func In(t *studio.Turn) *Dispatch { return &Dispatch{t, t.Tx} }

var write, read = studio.Doors(In)
