package packing

import "solander/measure"

// Shape is how the sheets lie.
type Shape string

// The shapes.
const (
	Flat   Shape = "flat"
	Rolled Shape = "rolled"
	Both   Shape = "both" // some rolled in a tube, the others flat, in one carton
)

// Rolls reports whether a wrap rolls copies of a sheet: of a wrap of both shapes those that may be rolled and are
// longer than it lays flat. Source: docs/formats/physics.md, section 6.
func (w *Wrap) Rolls(s *Sheet) bool {
	return w.Shape == Rolled || w.Shape == Both && s.Roll != nil && max(s.Width, s.Height) > w.FlatTo
}

// Wrap is a recipe: how this studio protects a parcel, layer by layer from the inside out.
type Wrap struct {
	ID              string         `json:"id" form:"id"`
	Name            string         `json:"name,omitempty"`
	Note            string         `json:"note,omitempty"`
	Shape           Shape          `json:"shape"`
	Fewest          int            `json:"fewest,omitempty" least:"1" most:"1000"` // sheets in a parcel; absent = 1
	Most            int            `json:"most,omitempty" least:"1" most:"1000"`   // absent = no limit
	Core            measure.Length `json:"core,omitempty"`                         // rolled, both: smallest inner diameter of the roll
	FlatTo          measure.Length `json:"flat_to,omitempty"`                      // both: sheets up to this long side lie flat, also those that may be rolled
	Beside          int            `json:"beside,omitempty" least:"2" most:"8"`    // flat: sheets that may lie side by side in a tier; absent = 1
	Between         measure.Length `json:"between,omitempty"`                      // clear distance between them
	Layers          []Layer        `json:"layers" least:"1" most:"8"`
	Mass            measure.Mass   `json:"mass,omitempty"`                           // of a parcel besides its sheets and layers: tape, labels, what weighing taught; absent = none
	Minutes         int            `json:"minutes,omitempty" most:"10000"`           // work on a parcel
	MinutesPerSheet int            `json:"minutes_per_sheet,omitempty" most:"10000"` // and for each sheet in it
}

// Per says how many pieces a layer takes.
type Per string

// PerStack takes Count pieces for the parcel; PerSheet Count for each sheet; PerGap Count between each
// two neighbouring sheets.
const (
	PerStack Per = "stack"
	PerSheet Per = "sheet"
	PerGap   Per = "gap"
)

// Layer is one layer of a wrap.
type Layer struct {
	Kind      Kind            `json:"kind"`
	Of        Shape           `json:"of,omitempty"`                       // both: round the rolled, or round the flat; absent = round all
	Items     []string        `json:"items,omitempty" least:"1" each:"1"` // shelf items to choose from; empty = all of the kind
	Per       Per             `json:"per,omitempty"`                      // absent = stack
	Count     int             `json:"count,omitempty" least:"1" most:"8"` // absent = 1
	Clearance Clearance       `json:"clearance,omitzero"`
	Empty     *measure.Length `json:"empty,omitempty"` // carton: largest empty height above the contents; absent = not limited
}

// Clearance is free room that a layer keeps.
type Clearance struct {
	Sides     measure.Length `json:"sides,omitempty"`     // at each of the four edges: counts twice each way
	Thickness measure.Length `json:"thickness,omitempty"` // added once to the thickness
	Ends      measure.Length `json:"ends,omitempty"`      // tube: at each end of the roll: counts twice
	Across    measure.Length `json:"across,omitempty"`    // tube: added once to the roll's diameter
}
