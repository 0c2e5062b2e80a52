// Package pricecards is the operators' price cards: which there are, loaded and dropped, made anew from the last one, and
// how far they are from what was paid.
package pricecards

import (
	"solander/calendar"
	"solander/studio"
)

// Store is what this room asks of the store.
type Store interface {
	DropCard(id string) error
	HandOvers(limit int) ([]studio.HandOver, error)
	SaveCard(studio.StoredCard) error
	SaveSettings(studio.Settings) error
	Went(since calendar.Day) ([]studio.Went, error)
}

// PriceCards is one transaction as this room sees it.
type PriceCards struct {
	*studio.Turn
	Store
}

// In returns a transaction as this room sees it.
func In(t *studio.Turn) *PriceCards { return &PriceCards{t, t.Tx} }

var write, read = studio.Doors(In)
