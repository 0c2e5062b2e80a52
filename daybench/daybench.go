// Package daybench makes the bench of a day: what is to do, with the parcels that are planned and in the house.
package daybench

import (
	"solander/studio"
	"solander/supply"
)

// Store is what this room asks of the store.
type Store interface {
	Moves(kind supply.MoveKind, of int64, limit int) ([]supply.Move, error)
	OpenParcels() ([]studio.Parcel, error)
	Shelf() ([]studio.ShelfItem, error)
}

// Daybench is one transaction as this room sees it.
type Daybench struct {
	*studio.Turn
	Store
}

// In returns a transaction as this room sees it.
func In(t *studio.Turn) *Daybench { return &Daybench{t, t.Tx} }

var _, read = studio.Doors(In)
