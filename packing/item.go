package packing

import "solander/measure"

// Kind is a kind of packaging.
type Kind string

// The kinds.
const (
	Sleeve   Kind = "sleeve"   // a film bag, open on one side
	Tissue   Kind = "tissue"   // an interleaf or a wrapping sheet, trimmed to what it covers
	Board    Kind = "board"    // a flat stiffener
	Envelope Kind = "envelope" // soft or stiff, for flat contents
	Tube     Kind = "tube"     // for rolls; round or cornered
	Carton   Kind = "carton"   // a box
)

// Kinds returns every kind, in a fixed order.
func Kinds() []Kind { return []Kind{Sleeve, Tissue, Board, Envelope, Tube, Carton} }

// Item is one kind of packaging on the shelf. Which fields a kind has stands in docs/formats/problem.md,
// section 5. Cost is the price of one piece.
type Item struct {
	ID   string       `json:"id" form:"id"`
	Name string       `json:"name,omitempty"`
	Note string       `json:"note,omitempty"`
	Kind Kind         `json:"kind"`
	Mass measure.Mass `json:"mass"`
	Cost int64        `json:"cost"`

	Width    measure.Length `json:"width,omitempty" least:"1"`    // sleeve, tissue, board, envelope: inner size
	Height   measure.Length `json:"height,omitempty" least:"1"`   // the same; carton: inner height
	Length   measure.Length `json:"length,omitempty" least:"1"`   // tube, carton: inner length
	Diameter measure.Length `json:"diameter,omitempty" least:"1"` // tube: inner diameter, or that of the largest circle inside
	Caliper  measure.Length `json:"caliper,omitempty" least:"1"`  // tissue, board: thickness of one
	Wall     measure.Length `json:"wall,omitempty"`               // sleeve, envelope, tube, carton: thickness of one film, face or wall
	Thickest measure.Length `json:"thickest,omitempty" least:"1"` // sleeve, envelope: thickest contents; absent = not limited
	Outer    *Outer         `json:"outer,omitempty"`              // when it is more than the inner size and two walls

	Soft     bool `json:"soft,omitempty"`     // sleeve, envelope: thickness of the contents takes width and height
	Stiff    bool `json:"stiff,omitempty"`    // board, envelope: makes the parcel stiff; cartons and tubes always do
	Cornered bool `json:"cornered,omitempty"` // tube: not a cylinder by its outer form

	Cut       *Cut     `json:"cut,omitempty"`                  // tube: length may be cut down; carton: height
	CutBase   *CutBase `json:"cut_base,omitempty"`             // carton: length and width may be cut down
	Stock     *int     `json:"stock,omitempty" most:"1000000"` // pieces on hand; absent = plenty
	IssuedFor string   `json:"issued_for,omitempty"`           // class of service it may only go by
	Container string   `json:"container,omitempty"`            // id of an issued container with a price of its own
}

// Outer is the outer size of an item; a zero field keeps its default.
type Outer struct {
	Width    measure.Length `json:"width,omitempty" least:"1"`
	Height   measure.Length `json:"height,omitempty" least:"1"`
	Length   measure.Length `json:"length,omitempty" least:"1"`
	Diameter measure.Length `json:"diameter,omitempty" least:"1"`
}

// Cut says that the inner length of a tube, or the inner height of a carton, may be cut down to
// Shortest, Shortest + Step, Shortest + 2 Step ... below its full size.
type Cut struct {
	Shortest measure.Length `json:"shortest" least:"1"`
	Step     measure.Length `json:"step" least:"1"`
}

// CutBase says that the inner length and width of a carton may be cut down, each to its shortest, that and
// Step, that and 2 Step ... below its full size. A side without a shortest is not cut.
type CutBase struct {
	ShortestLength measure.Length `json:"shortest_length,omitempty" least:"1"`
	ShortestWidth  measure.Length `json:"shortest_width,omitempty" least:"1"`
	Step           measure.Length `json:"step" least:"1"`
}

// Sizes returns the inner lengths and widths that a carton may have: the cut ones ascending, then the full one.
func (c *CutBase) Sizes(length, width measure.Length) (lengths, widths []measure.Length) {
	if c == nil {
		return []measure.Length{length}, []measure.Length{width}
	}
	side := func(shortest, full measure.Length) []measure.Length {
		if shortest == 0 {
			return []measure.Length{full}
		}
		return (&Cut{Shortest: shortest, Step: c.Step}).CutSizes(full)
	}
	return side(c.ShortestLength, length), side(c.ShortestWidth, width)
}
