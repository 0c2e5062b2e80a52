// Package certify says what is true of an edition beside its declaration: the facts that buyers are told, held against the rules of the
// states in which they live.
package certify

import (
	"solander/disclosure"
	"solander/studio"
)

// Store is what this room asks of the store.
type Store interface {
	disclosure.Store
	Sold(edition int64) (int, error)
}

// Certify is one transaction as this room sees it.
type Certify struct {
	*studio.Turn
	Store
}

// In returns a transaction as this room sees it.
func In(t *studio.Turn) *Certify { return &Certify{t, t.Tx} }

var write, read = studio.Doors(In)
