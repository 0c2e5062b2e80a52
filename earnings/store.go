package earnings

import (
	"slices"

	"solander/calendar"
	"solander/layers"
	"solander/ledger"
	"solander/money"
)

// Lot is what sums of the journal are asked by.
type Lot string

// The lots that a store knows. Pictures, sizes and grades are those of editions.
const (
	LotEdition Lot = "edition"
	LotOutlet  Lot = "outlet"
	LotBuyer   Lot = "buyer" // of the order, as she stands in the book
	LotState   Lot = "state" // to which the order goes: "US VA", "DE"
	LotOrder   Lot = "order"
)

// LotSum is what a part comes to for one of a lot.
type LotSum struct {
	ID     int64  // of the edition, outlet, buyer or order; 0 = of none
	Text   string // the state
	Part   Part
	Amount money.Amount // earned: a cost is less than nothing
	Prints int          // order lines that were sold; of their price alone
}

// SoldThere is how many prints of an edition a gallery sold, which no order line says.
type SoldThere struct {
	Edition, Outlet int64
	Currency        string
	Prints          int
}

// Fact is the same as a fact.
func (s LotSum) Fact() Fact { return Fact{Part: s.Part, Amount: s.Amount} }

// Query is which sums of the journal are wanted. What is not said does not restrict.
type Query struct {
	By       Lot
	From, To calendar.Day // both too
	Editions []int64
	Outlets  []int64 // 0: what belongs to none; so of the others
	Buyers   []int64
	State    *string
	Orders   []int64 // 0: what belongs to none

	// Of MostOfLot alone: in which currency, and how many at most.
	Currency string
	Most     int
}

// HasNone reports whether something of an edition and an outlet that belongs to no order is meant.
func (q Query) HasNone(ed, outlet int64) bool {
	return (len(q.Editions) == 0 || slices.Contains(q.Editions, ed)) && (len(q.Outlets) == 0 || slices.Contains(q.Outlets, outlet)) &&
		(len(q.Buyers) == 0 || slices.Contains(q.Buyers, 0)) && (q.State == nil || *q.State == "")
}

// Store is what is asked of the journal for it.
type Store interface {
	// SumsOfLots returns what was earned in some days and what it cost, by the one or the other of a lot.
	SumsOfLots(q Query) ([]LotSum, error)
	// SoldThere counts the prints that galleries sold, or paid for when they were lost, in some days; less those of which that was taken back.
	SoldThere(from, to calendar.Day) ([]SoldThere, error)
	// MostOfLot returns the orders, or the buyers, of whom most is left of what a query asks for in its currency, the most first and at most so many as
	// it says, and of how many something was earned or cost.
	MostOfLot(q Query) (ids []int64, all int, err error)
	// SumsOfOrdersSold returns what was earned and what it cost, on whatever day, of the orders of which something was sold in some days
	// and which cost more than they brought in; by LotOrder, at most so many orders, the greatest loss first.
	SumsOfOrdersSold(from, to calendar.Day, most int) ([]LotSum, error)
	// EarnedOfNoOrder returns the latest entries with lines of income or costs that belong to no order, at most so many.
	EarnedOfNoOrder(q Query, most int) ([]ledger.Entry, error)
	// SheetLayers returns by edition the layers of sheets that have some left, the earliest first.
	SheetLayers() (map[int64]layers.Stock, error)
}
