// Package movein takes files in that hold sales of before, after a trial, and takes them back.
package movein

import (
	"solander/calendar"
	"solander/edition"
	"solander/intake/kept"
	"solander/order"
	"solander/studio"
	"solander/supply"
)

// Store is what this room asks of the store.
type Store interface {
	kept.Store
	AddOrders([]order.Order) ([]order.Order, error)
	AddPayments([]order.Payment) error
	CallOff(ids []int64, on calendar.Day) error
	Declare(edition.Edition) (int64, error)
	Editions() ([]edition.Edition, error)
	Foresee(numbers []studio.NumberKey, lines []int64) error
	History(ed int64, n edition.Number) ([]edition.Entry, error)
	Numbers(ed int64) ([]studio.NumberRow, error)
	Order(id int64) (order.Order, error)
	OrdersByID(ids []int64) ([]order.Order, error)
	Outlets() ([]order.Outlet, error)
	Places(person int64, limit int) ([]order.Address, error)
	Runs(openOnly bool) ([]supply.Run, error)
	SaveBuyer(order.Buyer) (int64, error)
	SaveOutlet(order.Outlet) (int64, error)
	SaveWork(edition.Work) (int64, error)
}

// MoveIn is one transaction as this room sees it.
type MoveIn struct {
	*studio.Turn
	Store
}

// In returns a transaction as this room sees it.
func In(t *studio.Turn) *MoveIn { return &MoveIn{t, t.Tx} }

var write, read = studio.Doors(In)
