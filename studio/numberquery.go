package studio

import (
	"solander/calendar"
	"solander/edition"
	"solander/money"
)

// NumberQuery says which numbers of one kind of an edition are wanted. Without State, Lot and Loose it is those that are not free.
type NumberQuery struct {
	Edition  int64
	Kind     edition.Kind
	State    edition.State // "" = any
	Lot      edition.Lot   // "" = any
	Loose    bool          // only those of edition.Standing.Loose
	From, To int           // both of them too; To 0 = to the last
}

// SoldDay is how many prints of an edition were sold for a price on a day.
type SoldDay struct {
	Day   calendar.Day
	Price money.Amount
	Count int
}
