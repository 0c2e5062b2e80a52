// Package planning plans the parcels of a day and of an order, and says what a plan means.
// It also cuts the boards that plans need from big sheets; it writes nothing but notes in the journals of orders.
package planning

import (
	"context"

	"solander/calendar"
	"solander/order"
	"solander/papers"
	"solander/studio"
)

// Store is what this room asks of the store.
type Store interface {
	Order(id int64) (order.Order, error)
	OrderByMark(mark string) (order.Order, error)
	OpenParcels() ([]studio.Parcel, error)
	OrdersByID(ids []int64) ([]order.Order, error)
	Shelf() ([]studio.ShelfItem, error)
	UndoMark(id int64) error
}

// Planning is one transaction as this room sees it.
type Planning struct {
	*studio.Turn
	Store
}

// In returns a transaction as this room sees it.
func In(t *studio.Turn) *Planning { return &Planning{t, t.Tx} }

var _, read = studio.Doors(In)

// Head is what a paper of a day begins with; the zero day is today.
func (t *Planning) Head(day calendar.Day) papers.Head {
	if day.IsZero() {
		day = t.Today
	}
	return papers.Head{Studio: t.Set.Studio, Day: day, Units: t.Set.Units}
}

// HeadOf reads what a paper begins with outside of a transaction of its own.
func HeadOf(ctx context.Context, s *studio.Studio, day calendar.Day) (papers.Head, error) {
	var h papers.Head
	err := read(ctx, s, func(t *Planning) error {
		h = t.Head(day)
		return nil
	})
	return h, err
}
