// Package certify says what is true of an edition beside its declaration, and vouches for it: the facts that buyers are told, held against the
// rules of the states in which they live; certificates, made, revoked and checked; what owners told of prints that left the house.
package certify

import (
	"solander/certificate"
	"solander/disclosure"
	"solander/edition"
	"solander/order"
	"solander/picture"
	"solander/sealog"
	"solander/studio"
)

// Store is what this room asks of the store.
type Store interface {
	disclosure.Store
	certificate.Store
	sealog.Store
	SaveSettings(studio.Settings) error
	Work(id int64) (edition.Work, error)
	History(ed int64, n edition.Number) ([]edition.Entry, error)
	OrderByMark(mark string) (order.Order, error)
	Standing(ed int64, n edition.Number) (edition.Standing, error)
	Editions() ([]edition.Edition, error)
	Sold(edition int64) (int, error)
	Closings(edition int64) ([]edition.Closing, error)
	NumberLots(edition int64) (map[edition.Kind]map[edition.Lot]int, error)
	NumbersIn(studio.NumberQuery) ([]studio.NumberRow, error)
	PicturesOf(works []int64) ([]picture.Picture, error)
	PictureBody(work int64, size picture.Size) ([]byte, error)
}

// Certify is one transaction as this room sees it.
type Certify struct {
	*studio.Turn
	Store
}

// In returns a transaction as this room sees it.
func In(t *studio.Turn) *Certify { return &Certify{t, t.Tx} }

var write, read = studio.Doors(In)
