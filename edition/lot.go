package edition

// Lot is what a number of the register is to whoever sells: every number is in exactly one of them, so that their counts
// are the limit.
type Lot string

// The lots. A number that a line holds, or a gallery sold, counts as sold, whatever became of its sheet.
const (
	Sold      Lot = "sold"
	Unsold    Lot = "unsold" // free, or signed ahead: the next sale may have it
	OutOfSale Lot = "out"    // came back, spoilt, kept, withdrawn or at a gallery: no sale is given it unasked
)

// Lots returns all lots, in the order in which they are added up.
func Lots() []Lot { return []Lot{Sold, Unsold, OutOfSale} }

// Loose reports that a signed sheet with this number lies in the drawer and no line holds it: signed ahead, or come back.
func (s Standing) Loose() bool { return s.Line == 0 && (s.State == Signed || s.State == Returned) }

// Lot says in which lot the number is.
func (s Standing) Lot() Lot {
	switch {
	case s.Line != 0, s.State == SoldThere:
		return Sold
	case s.State == Free || s.State == Signed:
		return Unsold
	}
	return OutOfSale
}
