// Package register declares works and editions, moves numbers along their steps, and signs.
package register

import (
	"solander/order"
	"solander/sealog"
	"solander/studio"
	"solander/supply"
)

// Store is what this room asks of the store.
type Store interface {
	studio.CatalogueStore
	studio.RegisterStore
	OnHand() (map[int64]int, error)
	OrderByLine(line int64) (order.Order, error)
	Runs(openOnly bool) ([]supply.Run, error)
	SaveLine(order.Line) error
	AppendLeaf(sealog.Leaf) (sealog.KeptLeaf, error)
}

// Register is one transaction as this room sees it.
type Register struct {
	*studio.Turn
	Store
}

// In returns a transaction as this room sees it.
func In(t *studio.Turn) *Register { return &Register{t, t.Tx} }

var write, read = studio.Doors(In)
