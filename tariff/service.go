package tariff

import "solander/measure"

// Service is one way to send a parcel. Class groups services that count as the same class of mail for
// house rules and for packaging issued for a class (Priority by mass and by container are one class).
type Service struct {
	ID          string       `json:"id" form:"id"`
	Class       string       `json:"class" least:"1"`
	Name        string       `json:"name" least:"1"`
	Note        string       `json:"note,omitempty"`
	Source      string       `json:"source,omitempty"`
	Status      string       `json:"status,omitempty" form:"status"`
	Countries   []string     `json:"countries,omitempty" least:"1" form:"country"` // destinations; empty = wherever the zone table leads
	Abroad      *bool        `json:"abroad,omitempty"`                             // true: only abroad; false: only within the country of origin
	Zones       string       `json:"zones,omitempty"`                              // name of the zone table; empty = one price everywhere
	Forms       []Form       `json:"forms,omitempty" least:"1"`                    // empty = box and cylinder
	Flexible    bool         `json:"flexible,omitempty"`                           // refuses a stiff parcel
	Container   string       `json:"container,omitempty"`                          // price of this issued container, and of no other parcel
	Tracking    bool         `json:"tracking,omitempty"`
	Days        *Days        `json:"days,omitempty"`
	Limits      []Bound      `json:"limits,omitempty"`
	Dimensional *Dimensional `json:"dimensional,omitempty"`
	Prices      Prices       `json:"prices"`
	Surcharges  []Surcharge  `json:"surcharges,omitempty"`
	Cover       *Cover       `json:"cover,omitempty"`
	Signature   *int64       `json:"signature,omitempty"` // price; absent = not offered
	Claims      *Claims      `json:"claims,omitempty"`    // absent = the card does not tell
}

// Form is the outer form of a parcel.
type Form string

// The forms. A square or three-cornered tube is a Box.
const (
	Box      Form = "box"
	Cylinder Form = "cylinder"
)

// Counting is how days in the post are counted.
type Counting string

// Calendar counts every day; Delivery leaves out Sundays and the problem's holidays; Weekdays leaves out
// Saturdays, too.
const (
	CalendarDays Counting = "calendar"
	DeliveryDays Counting = "no-sundays-holidays"
	WeekDays     Counting = "no-weekends-holidays"
)

// Days is how long a parcel is in the post, by the operator's own statement.
type Days struct {
	Min     int      `json:"min" most:"365" need:"yes"`
	Max     int      `json:"max" most:"365" need:"yes"`
	Counted Counting `json:"counted"`
}

// Dimensional is the mass that stands for a bulky parcel's volume. See docs/formats/tariff.md, section 6.
type Dimensional struct {
	Over     Volume       `json:"over,omitzero"`            // applies when the rounded volume exceeds this
	Divisor  Ratio        `json:"divisor"`                  // so much volume counts as so much mass
	Round    Rounding     `json:"round,omitzero"`           // of each dimension, before multiplying; absent = not
	Step     measure.Mass `json:"step,omitzero" least:"1"`  // the result is rounded up to a multiple; absent = 1 ng
	Cylinder Fraction     `json:"cylinder,omitzero"`        // factor of a cylinder's volume; absent = 1
	Most     measure.Mass `json:"most,omitempty" least:"1"` // the dimensional mass counts as at most this; absent = no cap
}

// Ratio is a volume that counts as a mass: 166 in³ as 1 lb.
type Ratio struct {
	Volume Volume       `json:"volume" least:"1"`
	Mass   measure.Mass `json:"mass" least:"1"`
}

// Fraction is Num/Den; the zero Fraction counts as 1.
type Fraction struct {
	Num int64 `json:"num" most:"1000000"`
	Den int64 `json:"den" most:"1000000"`
}

// Mode is the direction of a rounding.
type Mode string

// The modes. Nearest rounds halves up.
const (
	Nearest Mode = "nearest"
	Up      Mode = "up"
	Down    Mode = "down"
)

// Rounding rounds a length to a multiple of Step; the zero Rounding leaves it as it is.
type Rounding struct {
	Step measure.Length `json:"step"`
	Mode Mode           `json:"mode"`
}

// Surcharge is a fee added when every condition holds. Within a group of a service only the largest
// counts; groups, and surcharges without one, add up.
type Surcharge struct {
	ID     string  `json:"id" form:"id"`
	Name   string  `json:"name" least:"1"`
	Group  string  `json:"group,omitempty"`
	Form   Form    `json:"form,omitempty"`
	Stiff  *bool   `json:"stiff,omitempty"`
	When   []Bound `json:"when,omitempty"`
	Amount int64   `json:"amount" need:"yes"`
	Source string  `json:"source,omitempty"`
	Status string  `json:"status,omitempty" form:"status"`
}

// Cover is compensation for loss and damage, in minor units.
type Cover struct {
	Included int64       `json:"included,omitempty"`
	Steps    []CoverStep `json:"steps,omitempty"`         // ascending; price of cover up to UpTo
	Per      int64       `json:"per,omitempty" least:"1"` // beyond the last step: each further Per or part of it ...
	PerPrice int64       `json:"per_price,omitempty"`
	Most     *int64      `json:"most,omitempty"` // largest cover sold; absent = without per the last step, or the included cover
	Source   string      `json:"source,omitempty"`
	Status   string      `json:"status,omitempty" form:"status"`
}

// CoverStep is the price of cover up to and including UpTo.
type CoverStep struct {
	UpTo  int64 `json:"up_to" least:"1"`
	Price int64 `json:"price" need:"yes"`
}
