// Package house sets the studio up, changes its settings, and checks, copies and exports what it keeps.
package house

import (
	"solander/claim"
	"solander/edition"
	"solander/order"
	"solander/picture"
	"solander/studio"
	"solander/supply"
)

// Store is what this room asks of the store.
type Store interface {
	studio.SettingsStore
	Buyer(id int64) (order.Buyer, error)
	Buyers(text string, limit int) ([]order.Buyer, error)
	Counts() (map[int64]map[edition.State]int, error)
	Editions() ([]edition.Edition, error)
	Entries(after int64, limit int) ([]edition.Entry, error)
	History(ed int64, n edition.Number) ([]edition.Entry, error)
	MarksAfter(id int64, limit int) ([]studio.Mark, error)
	Moves(kind supply.MoveKind, of int64, limit int) ([]supply.Move, error)
	Numbers(ed int64) ([]studio.NumberRow, error)
	PlacesOf(people []int64, limit int) (map[int64][]order.Address, error)
	OnHand() (map[int64]int, error)
	OpenOrders() ([]order.Order, error)
	OpenParcels() ([]studio.Parcel, error)
	Order(id int64) (order.Order, error)
	Orders(q studio.OrderQuery) ([]order.Order, error)
	PictureBody(work int64, size picture.Size) ([]byte, error)
	Pictures() ([]picture.Picture, error)
	claim.Store
	SaveWork(edition.Work) (int64, error)
	Shelf() ([]studio.ShelfItem, error)
	Works() ([]edition.Work, error)
}

// House is one transaction as this room sees it.
type House struct {
	*studio.Turn
	Store
}

// In returns a transaction as this room sees it.
func In(t *studio.Turn) *House { return &House{t, t.Tx} }

var write, read = studio.Doors(In)
