// Package kept is what is kept of files of sales: those that wait, those that were brought in, and each row with its order.
package kept

import (
	"time"

	"solander/calendar"
	"solander/edition"
	"solander/intake"
	"solander/order"
)

// Arrival is a file that waits to be brought in, with what she said of it so far. Only the studio reads it; it
// is dropped when it was brought in, by hand, or when Until has passed.
type Arrival struct {
	ID      int64           `json:"id"`
	Name    string          `json:"name"` // of the file
	Hash    string          `json:"hash"` // SHA-256 of its bytes, in hexadecimal digits
	Size    int             `json:"size"` // bytes
	Source  Source          `json:"source"`
	Mapping *intake.Mapping `json:"mapping,omitempty"` // nil: not decided
	Answers intake.Answers  `json:"answers,omitempty"`
	Note    string          `json:"note,omitempty"` // why a file of a watched folder waits
	At      time.Time       `json:"at"`
	Until   time.Time       `json:"until"`
	Who     string          `json:"who"`
}

// Source says how a file came.
type Source string

// The sources.
const (
	FromDesk   Source = "desk"   // given by hand
	FromFolder Source = "folder" // dropped into a watched folder
)

// Intake is a file that was brought in.
type Intake struct {
	ID      int64        `json:"id"`
	Name    string       `json:"name"`
	Hash    string       `json:"hash"`
	Mapping string       `json:"mapping"` // its name
	Made    Made         `json:"made"`
	Day     calendar.Day `json:"day"`
	At      time.Time    `json:"at"`
	Who     string       `json:"who"`
	Back    *TakenBack   `json:"back,omitempty"` // nil: it stands
}

// Made is what a file made: how much, and what undoing it needs.
type Made struct {
	Orders   int         `json:"orders"`
	Open     int         `json:"open"` // of them, still to be sent
	Prints   int         `json:"prints"`
	Payments int         `json:"payments"`
	Buyers   []int64     `json:"buyers,omitempty"`
	Outlets  []int64     `json:"outlets,omitempty"`
	Works    []int64     `json:"works,omitempty"`
	Editions []int64     `json:"editions,omitempty"`
	Sheets   []SheetMove `json:"sheets,omitempty"` // that came back whole and lie in the drawer
}

// SheetMove is how many sheets of an edition a file put into the drawer.
type SheetMove struct {
	Edition int64 `json:"edition"`
	Count   int   `json:"count"`
}

// BuiltOn is an order that a file made, and what was done with it since.
type BuiltOn struct {
	Mark string
	Text string // the latest journal entry that stands; "" = it has a parcel
}

// TakenBack says when, by whom and why a file was taken back.
type TakenBack struct {
	Day    calendar.Day `json:"day"`
	At     time.Time    `json:"at"`
	Who    string       `json:"who"`
	Reason string       `json:"reason"`
}

// Brought is a row that an order was made of, with its file.
type Brought struct {
	intake.Origin
	Intake int64  `json:"intake"`
	File   string `json:"file"`
	Gone   bool   `json:"gone"` // its file was taken back
}

// MadeOf is a row with the order that is made of it, and its place among the rows of that order, from 0.
type MadeOf struct {
	Order int64
	Place int
	intake.Origin
}

// RefKey is an order as an outlet knows it.
type RefKey struct {
	Outlet int64
	Ref    string
}

// SaleKey is a sale as a row tells it without a reference.
type SaleKey struct {
	Buyer, Edition int64
	Number         edition.Number
	Placed         calendar.Day
}

// Known is all that a trial compares with. What a file made that was taken back is not in it, but for buyers.
type Known struct {
	Rows   map[string]string // mark of the order by the hash of a row
	Refs   map[RefKey]string // mark by the outlet's reference
	Sales  map[SaleKey]string
	Buyers []order.Buyer // all, by id
}

// Store keeps files that wait, mappings, and what was brought in.
type Store interface {
	// AddArrival keeps a file. Arrivals lists all without their bytes, newest first.
	AddArrival(a Arrival, body []byte) (int64, error)
	Arrival(id int64) (Arrival, error)
	ArrivalBody(id int64) ([]byte, error)
	Arrivals() ([]Arrival, error)
	SaveArrival(Arrival) error // mapping, answers and note
	DropArrival(id int64) error

	Mappings() ([]intake.Mapping, error) // by name
	SaveMapping(intake.Mapping) error    // by name; replaces
	DropMapping(name string) error

	AddIntake(Intake) (int64, error)
	Intake(id int64) (Intake, error)
	Intakes(limit int) ([]Intake, error) // newest first
	// IntakeBack notes an intake and its rows as taken back: the rows may be brought in again, and its orders and
	// the buyers that have no others are in no list any more. Faults: Refused when it was already.
	IntakeBack(id int64, b TakenBack) error
	// AddOrigins keeps rows of an intake with their orders. Faults: Taken when an order was made of one of them that stands.
	AddOrigins(in int64, rows []MadeOf) error
	Origins(orderID int64) ([]Brought, error)
	IntakeOrders(id int64) ([]int64, error) // ids of its orders, ascending
	// BuiltOn returns up to limit orders of an intake with which something was done since, by id.
	BuiltOn(id int64, limit int) ([]BuiltOn, error)
	// OrdersOn returns marks of up to limit orders with a live line of the edition that another intake, or none, made.
	OrdersOn(edition, except int64, limit int) ([]string, error)
	Known() (Known, error)
}
