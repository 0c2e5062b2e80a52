// Package bench turns the studio's state and a day into what is to be done, in working order. It is a
// pure function: it reads no clock and no store.
//
// The groups follow the work: chase money, ask for addresses, order sheets, sign, pack, label, hand over, claims, what waits, restock. Within
// a group what is late comes first, then by promise, then by the order's mark; what is handed over stands by trip before that. Ages
// are in working days of the studio's calendar.
//
// The rules (common practice, no source):
//
//   - An order that is not paid in full is chased and may not be packed, labelled or handed over.
//   - A sheet is ordered from the lab, and given from the drawer, only to an order of which a deposit
//     or all was paid, which costs nothing, or which is overridden. So a deposit lets the print be made
//     and signed, and no more. A print that is signed already keeps its sheet.
//   - An overridden order proceeds as if paid; once it has its sheets it may be packed unsigned, and
//     the bench says so.
//   - An order without an address is chased, printed and signed like any other, and neither packed, labelled nor handed
//     over before it has one. One that is handed over in person needs none: once it is paid and signed it is to be
//     handed over, without a parcel.
//   - An order of which its artist said that it waits is in a group of its own until its day, and in no plan.
//   - An order that the planner holds shows why, under pack, and stops no other order.
//
// Nothing is lost: every open order is in at least one group, and the work of an order may be in
// several (a print to sign, a balance to chase).
package bench

import (
	"solander/calendar"
	"solander/leaving"
	"solander/measure"
	"solander/money"
	"solander/order"
	"solander/supply"
)

// State is what the bench needs to know. The studio reads it from its store.
type State struct {
	Day     calendar.Day
	Working calendar.Working
	Units   measure.System
	Orders  []Order // open orders; others are passed over
	// OnHand counts, by edition, the sheets in the drawer that an open order may have: unsigned ones,
	// and the signed ones that an order line holds. Signed sheets without a holder are not among them:
	// they carry a number already.
	OnHand map[int64]int
	Runs   []supply.Run // open ones
	Shelf  []Stock      // what is still used
	// Leaving is how parcels may leave on the day of their hand-over; its parcels are those of the list.
	Leaving leaving.Ask
	Claims  []Claim // open ones
	SetUps  string  // by how many fewer wraps the parcels to pack are made; "" = by as many
}

// Order is an open order as the bench sees it.
type Order struct {
	order.Order
	OutletName string
	BuyerName  string
	Contact    string // the buyer's e-mail or telephone
	Prints     []Print
	Parcels    []Parcel
	Plan       *Plan  // of an order that may be packed; nil when none was made
	Held       string // why it cannot be packed: the planner's reason; "" = it can
	Wait       *Wait  // it waits, or may; nil = neither is known
	Tell       []Tell // facts that its buyer is still to be told
}

// Wait is that an order goes on a later day than it could.
type Wait struct {
	Until  calendar.Day
	Said   bool   // its artist said so: it is not to be packed yet
	Text   string // "may wait until Tue 3 Mar: saves 6.40 USD, with S-12"
	Kept   string // it cannot go sooner, and packaging is kept for it: "1 × tube 20 in is kept for it until Tue 3 Mar"
	Broken string // why it does not wait any more, or nothing is kept, although she said so
}

// Print is a live line with its names read along.
type Print struct {
	Line    order.Line
	Title   string
	Label   string // "17/250", "AP 2/5"; "open edition" when it has none
	Size    string
	Grade   string
	Edition string // its full name
	Work    int64
	Sides   Oblong
}

// Parcel is a parcel that is not handed over.
type Parcel struct {
	ID       int64
	Labelled bool
	Service  string
	Text     string // "double envelope 13 × 17 in, 8.2 oz"
	Tracking string
	Warnings []string // of its plan: a price card that has ended
	With     []string // marks of the other orders in it
	Under    string   // the mark of the order under which it is listed; "" = this one
	Postage  money.Amount
	Services []Service // by which it may go, the planned one first
	Leaves   leaving.Parcel
}

// Service is a class of carriage that a label may name.
type Service struct {
	Key  string `json:"key"`
	Name string `json:"name"`
}

// Plan is what is shown of the planner's answer.
type Plan struct {
	Parcels  []PlannedParcel
	Total    money.Amount
	Postage  money.Amount // what the total holds of it
	Warnings []string
	Proven   bool
	AtMost   money.Amount // what could be saved at most, when it is not proven
	Shared   []string     // what other orders of the day have to do with it
	With     []string     // marks of the orders that its parcels are shared with
	Under    string       // the mark of the order under which they are told; "" = this one
}

// PlannedParcel is one parcel of a plan, in words.
type PlannedParcel struct {
	Wrap    string   // "rolled in a tube"
	Layers  []string // inside out: "sleeve 12 × 16 in", "2 boards 12 × 16 in", "envelope 13 × 17 in"
	Mass    measure.Mass
	Service string
	Prints  []string
	Outline Outline
	Leaves  leaving.Parcel
	Build   string // the same of parcels that are built alike, whatever prints of the same size are in them; "" = not known
}

// Outline is a parcel from above: its outer sides, and those of the prints in it, the largest first.
type Outline struct {
	Wrap        string // "rolled in a tube"
	Long, Short measure.Length
	Round       bool     // a tube, seen from its side
	Prints      []Oblong // of a roll, one: its length and its width
}

// Oblong is the two sides of a print, the longer one first.
type Oblong struct{ Long, Short measure.Length }

// Stock is one shelf item as the bench sees it.
type Stock struct {
	ID        int64
	Name      string
	Stock     int
	ReorderAt int
	Pack      int
	OneMore   string // what one more piece would save today; "" = nothing, or not known
	Used      bool   // a parcel took of it, ever
}

// Group is one kind of work.
type Group string

// The groups, in working order.
const (
	ChaseMoney  Group = "money"
	AskAddress  Group = "address"
	OrderSheets Group = "sheets"
	SignPrints  Group = "sign"
	PackOrders  Group = "pack"
	LabelParcel Group = "label"
	HandOver    Group = "hand-over"
	Restock     Group = "restock"
	Claims      Group = "claims"
	Waits       Group = "waits"
)

// Groups returns all groups in working order.
func Groups() []Group {
	return []Group{ChaseMoney, AskAddress, OrderSheets, SignPrints, PackOrders, LabelParcel, HandOver, Claims, Waits, Restock}
}

// Task is one thing to do. Fields that do not belong to its group are zero.
type Task struct {
	Group    Group        `json:"group"`
	Order    int64        `json:"order,omitempty"`
	Mark     string       `json:"mark,omitempty"`
	Buyer    string       `json:"buyer,omitempty"`
	Outlet   string       `json:"outlet,omitempty"`
	Edition  int64        `json:"edition,omitempty"`
	With     []string     `json:"with,omitempty"`     // marks of orders that go in the same parcel
	Orders   []int64      `json:"orders,omitempty"`   // which a task that belongs to no single order serves
	Lines    []int64      `json:"lines,omitempty"`    // to order sheets for, to sign, to pack
	Parcel   int64        `json:"parcel,omitempty"`   // to label or hand over
	Item     int64        `json:"item,omitempty"`     // to restock
	Claim    int64        `json:"claim,omitempty"`    // on an operator
	Run      int64        `json:"run,omitempty"`      // that will serve it
	Expected calendar.Day `json:"expected,omitzero"`  // when that run comes
	Pieces   []Piece      `json:"pieces,omitempty"`   // the prints that it is about
	Label    string       `json:"label,omitempty"`    // "17/250", of a print to sign
	Title    string       `json:"title,omitempty"`    // of the work, of a print to sign
	Size     string       `json:"size,omitempty"`     // "12 × 16 in", of a print to sign
	What     string       `json:"what"`               // "17/250 Heron at dusk, 12 × 16 in, fine"
	Why      string       `json:"why"`                // "owes 60.00 USD of 120.00 USD", "4 sheets wanted, none on hand"
	Detail   []string     `json:"detail,omitempty"`   // layers, reasons, other orders
	Warnings []string     `json:"warnings,omitempty"` // of its plan: a price card that has ended
	Doubts   []string     `json:"doubts,omitempty"`   // what may be wrong with its address
	Timing   string       `json:"timing"`             // "waiting 6 working days, promised by Tue 14 Apr, 1 late"
	Promised calendar.Day `json:"promised,omitzero"`
	Age      int          `json:"age"`                // working days since the order was placed
	Late     int          `json:"late"`               // working days past the promise; 0 = in time
	Quantity int          `json:"quantity,omitempty"` // sheets to order, pieces to restock
	Blocked  string       `json:"blocked,omitempty"`  // why it cannot be done yet: "waits for run 4 since Mon 2 Mar, expected Fri 13 Mar"
	Owed     money.Amount `json:"owed"`
	Mass     measure.Mass `json:"mass_ng,omitempty"` // estimated
	Service  string       `json:"service,omitempty"`
	Total    money.Amount `json:"total"`              // of a plan: packaging, work and postage
	Postage  money.Amount `json:"postage"`            // of it, or of a parcel that waits for its label, by the price card
	Until    calendar.Day `json:"until,omitzero"`     // the day until which it waits, or may
	May      string       `json:"may_wait,omitempty"` // that it may wait, and what that saves
	Unused   bool         `json:"unused,omitempty"`   // to restock: no parcel ever took of it
	Leaves   []Leave      `json:"leaves,omitempty"`   // by which way each of its parcels leaves
	Trip     string       `json:"trip,omitempty"`     // to hand over: which trip begins with it in the list
	Alike    []string     `json:"alike,omitempty"`    // parcels that are built as its first one, that among them: "S-1", "S-4 2/2"
	Outlines []Outline    `json:"-"`                  // of the parcels of a plan
	Tell     []Tell       `json:"tell,omitempty"`     // facts that its buyer is to be told, on one row of an order
	Services []Service    `json:"-"`                  // that a label may name, the planned one first
}

// Piece is a print as a row names it.
type Piece struct {
	Work  int64  `json:"work,omitempty"`
	Label string `json:"label"` // "17/250", "open edition"
	Title string `json:"title"`
}

// List is the bench of one day.
type List struct {
	Day    calendar.Day     `json:"day"`
	Groups map[Group][]Task `json:"groups"`
	Late   int              `json:"late"`          // orders past their promise
	Open   int              `json:"open"`          // open orders in all
	Next   calendar.Day     `json:"next,omitzero"` // the next promise after the day
	Ahead  []Promises       `json:"ahead"`         // the fortnight from the day on, a day each
	// Leaving is nil while the studio has not said how parcels leave.
	Leaving *Leaving `json:"leaving,omitempty"`
	SetUps  string   `json:"set_ups,omitempty"` // "2 wraps to set up instead of 3"
	// Signed is what was signed on the day: it may be certified.
	Signed []SignedOf `json:"signed,omitempty"`
}

// Promises is what is promised for one day of the fortnight.
type Promises struct {
	Day    calendar.Day `json:"day"`
	Orders int          `json:"orders"`        // open ones, promised by that day
	Off    bool         `json:"off,omitempty"` // nobody works in the studio
}

// Fortnight is how many days the list looks ahead, its own day among them.
const Fortnight = 14
