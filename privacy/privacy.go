// Package privacy gives out what the studio keeps of one buyer, and erases her: what is about her is blanked wherever it stands, what
// the books, the tax and the register need stays, with the reason said. It knows how long the studio means to keep, and never erases
// while money is owed, an order is open, or the time that the tax may ask for is not over. What a trial says is what the deed does:
// both ask one function. Days are whole, years are those of the calendar. It gives no advice in law.
//
// Source of the terms: Regulation (EU) 2016/679, articles 5(1)(e) (kept no longer than necessary), 15 (access), 17 (erasure, and when
// it may wait) and 20 (portability).
package privacy

import (
	"solander/claim"
	"solander/intake/kept"
	"solander/order"
	"solander/studio"
	"solander/upkeep"
)

// Store is what this room asks of the store.
type Store interface {
	upkeep.PrivacyStore
	Claims(claim.Query) ([]claim.Claim, error)
	Buyer(id int64) (order.Buyer, error)
	Writings(person int64) ([]order.Buyer, error)
	BuyerOrders(buyer int64) ([]int64, error)
	OrdersByID(ids []int64) ([]order.Order, error)
	OrderByMark(mark string) (order.Order, error)
	Arrivals() ([]kept.Arrival, error)
	ArrivalBody(id int64) ([]byte, error)
	SaveSettings(studio.Settings) error
}

// Privacy is one transaction as this room sees it.
type Privacy struct {
	*studio.Turn
	Store
	files studio.FileReader
}

// In returns a transaction as this room sees it.
func In(t *studio.Turn) *Privacy { return &Privacy{Turn: t, Store: t.Tx} }

var write, read = studio.Doors(In)

// reading gives the room what reads files that wait.
func (t *Privacy) reading(s *studio.Studio) *Privacy {
	t.files = s.Files
	return t
}
