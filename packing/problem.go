// Package packing knows the question of the packing planner and its answer: the problem (sheets, shelf,
// wraps, house rules, price cards), the plan, and the reasons. It solves nothing.
//
// The formats are docs/formats/problem.md and plan.md. Lengths are nanometres, masses nanograms, money
// minor units of the problem's currency, counts whole. Nothing here is a float.
package packing

import (
	"solander/calendar"
	"solander/measure"
	"solander/tariff"
)

// ProblemFormat is the value of a problem's "format" field.
const ProblemFormat = "solander-problem/1"

// Problem is everything the planner may know. Its day is the day of hand-over.
type Problem struct {
	Format       string         `json:"format"`
	Note         string         `json:"note,omitempty"`
	Currency     string         `json:"currency"`
	Day          calendar.Day   `json:"day"`
	Holidays     []calendar.Day `json:"holidays,omitempty"` // days without delivery, besides Sundays
	Origin       Place          `json:"origin"`
	PriceClasses []string       `json:"price_classes,omitempty"` // cards of other price classes are not used; empty = all
	Orders       []Order        `json:"orders"`
	Shelf        []Item         `json:"shelf"`
	Wraps        []Wrap         `json:"wraps"`
	Rules        []Rule         `json:"rules,omitempty"`
	Cards        []tariff.Card  `json:"cards"`
	Options      Options        `json:"options,omitzero"`
}

// Place is an end of a parcel's way.
type Place = tariff.Place

// Reason says why something is not possible, with its numbers.
type Reason = tariff.Reason

// Order is what must go to one destination. Orders share a parcel only when they name the same Combine.
type Order struct {
	ID          string       `json:"id"`
	Note        string       `json:"note,omitempty"`
	Destination Place        `json:"destination"`
	Combine     string       `json:"combine,omitempty"`  // orders with the same may share parcels; absent = with no other
	ArriveBy    calendar.Day `json:"arrive_by,omitzero"` // latest day of arrival wanted; no day = any
	Sheets      []Sheet      `json:"sheets"`
}

// Sheet is so many copies of one flat sheet. Exactly one of Grammage and Mass is given; Mass is the mass
// of one copy. Value is the value of one copy.
type Sheet struct {
	ID       string           `json:"id"`
	Note     string           `json:"note,omitempty"`
	Width    measure.Length   `json:"width"`
	Height   measure.Length   `json:"height"`
	Caliper  measure.Length   `json:"caliper"`
	Grammage measure.Grammage `json:"grammage,omitempty"`
	Mass     measure.Mass     `json:"mass,omitempty"`
	Copies   int              `json:"copies,omitempty"` // absent = 1
	Value    int64            `json:"value,omitempty"`
	Grade    string           `json:"grade,omitempty"`
	Roll     *Roll            `json:"roll,omitempty"`  // absent = may not be rolled
	Stiff    bool             `json:"stiff,omitempty"` // matted or mounted: makes the parcel stiff, never rolled
}

// Roll says how tightly a sheet may be rolled: the smallest inner diameter.
type Roll struct {
	Tightest measure.Length `json:"tightest"`
}

// Options are the studio's choices for the computation.
type Options struct {
	MinuteWage   int64 `json:"minute_wage,omitempty"`   // minor units a minute of packing; 0 = not counted
	ExactStates  int   `json:"exact_states,omitempty"`  // largest number of states of an order solved exactly; absent = 65536
	RejectedMost *int  `json:"rejected_most,omitempty"` // rejected options listed for each parcel; absent = 12
}
