package packing

import (
	"solander/calendar"
	"solander/measure"
	"solander/tariff"
)

// PlanFormat is the value of a plan's "format" field.
const PlanFormat = "solander-plan/1"

// Status says what is known about an answer.
type Status string

// Optimal is proven; NotProven is the best answer found, with a proven lower bound; Infeasible means that
// the order cannot go, for the reason given.
const (
	Optimal    Status = "optimal"
	NotProven  Status = "not-proven"
	Infeasible Status = "infeasible"
)

// Plan is the planner's answer. Lists are in the order that docs/formats/plan.md gives.
type Plan struct {
	Format    string       `json:"format"`
	Status    Status       `json:"status"`
	Currency  string       `json:"currency"`
	Day       calendar.Day `json:"day"`
	Total     int64        `json:"total"` // cost of all parcels
	Bound     int64        `json:"bound"` // no plan that sends the same orders costs less
	Held      int          `json:"held"`  // orders that cannot go
	Orders    []OrderPlan  `json:"orders"`
	Parcels   []Parcel     `json:"parcels"`
	StockUsed []Use        `json:"stock_used"`
	Rejected  []Rejected   `json:"rejected"`
	Warnings  []Warning    `json:"warnings"`
}

// OrderPlan is what became of one order. What a shared parcel costs is shared out over its orders: see Shares.
type OrderPlan struct {
	ID       string     `json:"id"`
	Status   Status     `json:"status"`
	Total    int64      `json:"total"`
	Bound    int64      `json:"bound"`
	Parcels  int        `json:"parcels"`
	Reason   *Reason    `json:"reason,omitempty"`   // why it is held
	Sheet    string     `json:"sheet,omitempty"`    // the sheet that cannot go, if it is one
	Conflict []Conflict `json:"conflict,omitempty"` // house rules that together forbid every way, in the problem's order
}

// Conflict is a house rule of a smallest set that holds an order: by these rules alone it cannot go, and
// without any one of them it can.
type Conflict struct {
	ID   string `json:"id"`
	Text string `json:"text,omitempty"`
}

// Parcel is one parcel of a plan.
type Parcel struct {
	Order     string        `json:"order"`            // the first of its orders
	Orders    []string      `json:"orders,omitempty"` // all of them, ascending, when they are several
	Contents  []Content     `json:"contents"`
	Wrap      string        `json:"wrap"`
	Shape     Shape         `json:"shape"`
	Roll      *RollPlan     `json:"roll,omitempty"`
	Mat       *Mat          `json:"mat,omitempty"`
	Layers    []LayerPlan   `json:"layers"`
	Form      tariff.Form   `json:"form"`
	Stiff     bool          `json:"stiff"`
	Size      Size          `json:"size"`
	Mass      measure.Mass  `json:"mass"`
	Value     int64         `json:"value"`
	Card      string        `json:"card"`
	Service   string        `json:"service"`
	Class     string        `json:"class"`
	Zone      string        `json:"zone"`
	Billed    measure.Mass  `json:"billed"` // mass by which the price was found; 0 when the price is not by mass
	Cover     int64         `json:"cover"`  // value for which cover is needed; 0 = none asked for
	Signature bool          `json:"signature"`
	Lines     []tariff.Line `json:"lines"`
	Cost      int64         `json:"cost"`               // sum of the lines
	DaysMin   *int          `json:"days_min,omitempty"` // by the card; absent = not stated, as 0 is not
	DaysMax   *int          `json:"days_max,omitempty"`
	Arrives   calendar.Day  `json:"arrives,omitzero"` // latest expected arrival; no day = not stated by the card
}

// Content is so many copies of a sheet.
type Content struct {
	Order  string `json:"order"`
	Sheet  string `json:"sheet"`
	Copies int    `json:"copies"`
}

// RollPlan is how the sheets are rolled.
type RollPlan struct {
	Axis  measure.Length `json:"axis"`  // length of the roll
	Strip measure.Length `json:"strip"` // longest side that is wound
	Pack  measure.Length `json:"pack"`  // thickness of all that is wound together
	Inner measure.Length `json:"inner"` // diameter of the hollow at the tightest
	Outer measure.Length `json:"outer"` // outer diameter then, rounded up
	Lies  Lies           `json:"lies,omitempty"`
}

// Lies says where the tube lies that shares a carton with a flat pack; none where there is no pack.
type Lies string

// On the pack, or under it, which is the same; or next to it, along its long or its short side.
const (
	OnPack      Lies = "on"
	BesideLong  Lies = "long"
	BesideShort Lies = "short"
)

// LayerPlan is one choice of packaging. A layer per sheet has an entry for each sheet.
type LayerPlan struct {
	Layer     int            `json:"layer"` // index of the wrap's layer, from 0
	Kind      Kind           `json:"kind"`
	Item      string         `json:"item"`
	Count     int            `json:"count"`
	Order     string         `json:"order,omitempty"`      // per sheet, in a parcel of several orders: of which
	Sheet     string         `json:"sheet,omitempty"`      // per sheet: for which
	CutTo     measure.Length `json:"cut_to,omitempty"`     // inner height of a carton or length of a tube when cut down
	CutLength measure.Length `json:"cut_length,omitempty"` // inner length of a carton's base when cut down
	CutWidth  measure.Length `json:"cut_width,omitempty"`  // and its width
}

// Size is the outer size of a parcel: sides sorted, longest first. A cylinder's Width and Height are its
// diameter unless it is longer than the tube.
type Size = tariff.Size

// Use is how many pieces of a shelf item the plan takes.
type Use struct {
	Item  string `json:"item"`
	Count int    `json:"count"`
}

// Rejected is an option that looks cheaper than the parcel chosen but breaks a rule.
type Rejected struct {
	Order   string   `json:"order"`
	Parcel  int      `json:"parcel"` // index into the plan's parcels, from 0
	Wrap    string   `json:"wrap"`
	Items   []string `json:"items"`             // the packaging tried, inside out
	Mat     *Mat     `json:"mat,omitempty"`     // how the sheets were tried side by side
	Card    string   `json:"card,omitempty"`    // "" when no service would help
	Service string   `json:"service,omitempty"` //
	Looks   int64    `json:"looks"`             // what it seems to cost: packaging, work and base postage
	Reason  Reason   `json:"reason"`
}

// Warning is something to know before acting on the plan.
type Warning struct {
	Code string `json:"code"` // "card.ended", "card.old", "card.status", "zone.estimated"
	Text string `json:"text"`
	Card string `json:"card,omitempty"`
}
