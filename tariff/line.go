package tariff

import "solander/measure"

// The rules of lines that no card prices: what the parcel costs in the house.
const (
	Packaging = "packaging"
	Work      = "work"
)

// Line is one item of what a parcel costs. Rule is Packaging, Work, "postage", "surcharge", "cover" or
// "signature"; What names the shelf item, the service or the surcharge by its id. Amount is in minor units
// and counts Count pieces.
type Line struct {
	Rule   string `json:"rule"`
	What   string `json:"what"`
	Text   string `json:"text"`
	Count  int    `json:"count"`
	Amount int64  `json:"amount"`
	Source string `json:"source,omitempty"`
	Status string `json:"status,omitempty"`
}

// OfCard reports a line that a price card prices and the operator is paid for: all but packaging and work.
func (l Line) OfCard() bool { return l.Rule != Packaging && l.Rule != Work }

// Parcel is what the engine must know of a parcel to price it.
type Parcel struct {
	Size      Size
	Form      Form
	Stiff     bool
	Mass      measure.Mass
	Value     int64    // of the contents, in minor units
	Container string   // id of the issued container that is the outermost layer, if it is one
	IssuedFor []string // classes for which any of its packaging was issued
}

// Extras are what is asked of a service beyond carrying the parcel.
type Extras struct {
	Cover     int64 // value to be covered, in minor units; 0 = none asked for
	Signature bool
	Tracking  bool
}

// Price is what a parcel costs by one service, item by item.
type Price struct {
	Lines  []Line
	Total  int64
	Billed measure.Mass // mass by which the price was found; 0 when it is not by mass
}
