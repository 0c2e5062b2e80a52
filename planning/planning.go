// Package planning plans the parcels of a day, of an order, and of what might be bought.
package planning

import (
	"context"

	"solander/order"
	"solander/studio"
)

// Store is what this room asks of the store.
type Store interface {
	HandOver(id int64) (studio.HandOver, []studio.Parcel, error)
	HandOvers(limit int) ([]studio.HandOver, error)
	OpenOrders() ([]order.Order, error)
	Order(id int64) (order.Order, error)
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

func write(ctx context.Context, s *studio.Studio, f func(*Planning) error) error {
	return s.Write(ctx, func(t *studio.Turn) error { return f(In(t)) })
}

func read(ctx context.Context, s *studio.Studio, f func(*Planning) error) error {
	return s.Read(ctx, func(t *studio.Turn) error { return f(In(t)) })
}
