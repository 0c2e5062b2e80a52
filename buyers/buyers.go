// Package buyers keeps who buys: one person found again through any outlet, taken as one, told apart.
package buyers

import (
	"solander/order"
	"solander/studio"
	"solander/upkeep"
)

// Store is what this room asks of the store.
type Store interface {
	studio.PeopleStore
	Buyer(id int64) (order.Buyer, error)
	Buyers(text string, limit int) ([]order.Buyer, error)
	Order(id int64) (order.Order, error)
	OrderByMark(mark string) (order.Order, error)
	Orders(q studio.OrderQuery) ([]order.Order, error)
	SaveBuyer(order.Buyer) (int64, error)
	Erased(buyer int64) (upkeep.Erasure, error)
}

// People is one transaction as this room sees it.
type People struct {
	*studio.Turn
	Store
}

// In returns a transaction as this room sees it.
func In(t *studio.Turn) *People { return &People{t, t.Tx} }

var write, read = studio.Doors(In)
