package tariff

import (
	"slices"
	"strconv"

	"solander/measure"
)

// By is what a price depends on besides the zone.
type By string

// The kinds of price table.
const (
	ByMass   By = "mass"   // steps of billed mass, "not over"
	ByVolume By = "volume" // steps of volume, "not over"
	ByPiece  By = "piece"  // one row
)

// Prices is a table of prices: a row for each step, a column for each zone.
type Prices struct {
	By    By       `json:"by"`
	Round Rounding `json:"round,omitzero"`            // ByVolume: of each dimension before multiplying
	Zones []string `json:"zones,omitempty" least:"1"` // the columns; absent = one column for every zone
	Rows  []Row    `json:"rows" least:"1"`
}

// Row is a step: the prices of parcels not over Mass (or Volume), one for each zone.
type Row struct {
	Mass   measure.Mass `json:"mass,omitempty" least:"1"`
	Volume Volume       `json:"volume,omitempty" least:"1"`
	Prices []Cell       `json:"prices" least:"1"`
	// Carried are the zones whose price was carried over from an older card by a factor; an empty text is the one column of a
	// table without zones. Such a price counts as extrapolated.
	Carried []string `json:"carried,omitempty" least:"1"`
	Source  string   `json:"source,omitempty"`
	Status  string   `json:"status,omitempty" form:"status"`
}

// Step is the row that prices a parcel of a size that is billed by a mass; false when it is beyond the last.
func (t *Prices) Step(size Size, billed measure.Mass) (row int, ok bool) {
	switch t.By {
	case ByMass:
		row = slices.IndexFunc(t.Rows, func(r Row) bool { return r.Mass >= billed })
	case ByVolume:
		size = t.Round.size(size)
		v := product(size.Length, size.Width, size.Height)
		row = slices.IndexFunc(t.Rows, func(r Row) bool { return !r.Volume.cubicNanometres().less(v) })
	}
	return row, row >= 0
}

// Cell is a price in minor units, or NotCarried.
type Cell int64

// NotCarried marks a step that the operator does not carry to a zone (a dash in the printed list). In
// JSON it is null.
const NotCarried Cell = -1

// MarshalJSON writes the price, or null.
func (c Cell) MarshalJSON() ([]byte, error) {
	if c == NotCarried {
		return []byte("null"), nil
	}
	return strconv.AppendInt(nil, int64(c), 10), nil
}

// UnmarshalJSON reads a whole number of minor units, or null.
func (c *Cell) UnmarshalJSON(b []byte) error {
	if string(b) == "null" {
		*c = NotCarried
		return nil
	}
	n, err := minor(b)
	*c = Cell(n)
	return err
}

func minor(b []byte) (int64, error) {
	n, err := strconv.ParseUint(string(b), 10, 63)
	if err != nil || n > MostMinor || len(b) > 1 && b[0] == '0' {
		return 0, badMinor(b)
	}
	return int64(n), nil
}

// ReadsNull marks that null has a meaning of its own here.
func (c *Cell) ReadsNull() {}
