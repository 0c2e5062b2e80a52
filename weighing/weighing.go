// Package weighing is what the artist's own scale says: the mass of a parcel noted, what it means for the postage, what the parcels of a
// wrap say together of the wrap's own mass, and that taken over or not. Masses are exact; a difference is what was weighed less what was
// planned without any margin. It plans nothing itself: what taking over would change is planned by the function that plans the day.
package weighing

import (
	"solander/measure"
	"solander/studio"
)

// Store is what this room asks of the store.
type Store interface {
	Parcel(id int64) (studio.Parcel, error)
	SaveParcel(studio.Parcel) error
	SaveSettings(studio.Settings) error
	Shelf() ([]studio.ShelfItem, error)
	Weighings(wrap string, own measure.Mass, limit int) ([]studio.Weighing, error)
}

// Weighing is one transaction as this room sees it.
type Weighing struct {
	*studio.Turn
	Store
}

// In returns a transaction as this room sees it.
func In(t *studio.Turn) *Weighing { return &Weighing{t, t.Tx} }

var write, read = studio.Doors(In)
