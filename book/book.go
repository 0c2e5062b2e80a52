// Package book is the book of sales: orders, payments, changes, cancelling, returns.
package book

import (
	"solander/edition"
	"solander/exchange"
	"solander/order"
	"solander/studio"
)

// Store is what this room asks of the store.
type Store interface {
	studio.RegisterStore
	studio.OrderStore
	AgreedOf(order int64) (exchange.Agreed, error)
	AddCame(exchange.Came) (int64, error)
	CameOf(orders ...int64) ([]exchange.Came, error)
	DropParcel(id int64) error
	Editions() ([]edition.Edition, error)
	Marks(orderID int64) ([]studio.Mark, error)
	Outlets() ([]order.Outlet, error)
	Parcels(orderID int64) ([]studio.Parcel, error)
	ParcelsTracked(tracking string) ([]studio.Parcel, error)
	TellApart(a int64, b int64) (bool, error)
	UndoMark(id int64) error
	Works() ([]edition.Work, error)
}

// Book is one transaction as this room sees it.
type Book struct {
	*studio.Turn
	Store
}

// In returns a transaction as this room sees it.
func In(t *studio.Turn) *Book { return &Book{t, t.Tx} }

var write, read = studio.Doors(In)
