// Package stockroom keeps count of sheets in the drawer, packaging on the shelf, and runs ordered from labs.
package stockroom

import (
	"solander/edition"
	"solander/studio"
)

// Store is what this room asks of the store.
type Store interface {
	studio.SupplyStore
	Counts() (map[int64]map[edition.State]int, error)
	Editions() ([]edition.Edition, error)
	OpenParcels() ([]studio.Parcel, error)
	Sold(ed int64) (int, error)
	Unsold(ed int64) (int, error)
}

// Stockroom is one transaction as this room sees it.
type Stockroom struct {
	*studio.Turn
	Store
}

// In returns a transaction as this room sees it.
func In(t *studio.Turn) *Stockroom { return &Stockroom{t, t.Tx} }

var write, read = studio.Doors(In)
