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
	Currency     string         `json:"currency" form:"currency"`
	Day          calendar.Day   `json:"day"`
	Holidays     []calendar.Day `json:"holidays,omitempty"` // days without delivery, besides Sundays
	Origin       Place          `json:"origin"`
	PriceClasses []string       `json:"price_classes,omitempty" least:"1" each:"1"` // cards of other price classes are not used; empty = all
	Orders       []Order        `json:"orders" least:"1" most:"5000"`
	Shelf        []Item         `json:"shelf" most:"2000"`
	Wraps        []Wrap         `json:"wraps" most:"2000"`
	Rules        []Rule         `json:"rules,omitempty" most:"2000"`
	Cards        []tariff.Card  `json:"cards" most:"2000"`
	Margin       Margin         `json:"margin,omitzero"`
	Options      Options        `json:"options,omitzero"`
}

// Place is an end of a parcel's way.
type Place = tariff.Place

// Reason says why something is not possible, with its numbers.
type Reason = tariff.Reason

// Order is what must go to one destination. Orders share a parcel only when they name the same Combine.
type Order struct {
	ID          string       `json:"id" form:"id"`
	Note        string       `json:"note,omitempty"`
	Destination Place        `json:"destination"`
	Combine     string       `json:"combine,omitempty" form:"id"` // orders with the same may share parcels; absent = with no other
	ArriveBy    calendar.Day `json:"arrive_by,omitzero"`          // latest day of arrival wanted; no day = any
	Sheets      []Sheet      `json:"sheets" least:"1"`
}

// Sheet is so many copies of one flat sheet. Exactly one of Grammage and Mass is given; Mass is the mass
// of one copy. Value is the value of one copy.
type Sheet struct {
	ID       string           `json:"id" form:"id"`
	Note     string           `json:"note,omitempty"`
	Width    measure.Length   `json:"width" least:"1"`
	Height   measure.Length   `json:"height" least:"1"`
	Caliper  measure.Length   `json:"caliper" least:"1"`
	Grammage measure.Grammage `json:"grammage,omitempty" least:"1"`
	Mass     measure.Mass     `json:"mass,omitempty" least:"1"`
	Copies   int              `json:"copies,omitempty" least:"1" most:"1000"` // absent = 1
	Value    int64            `json:"value,omitempty"`
	Grade    string           `json:"grade,omitempty"`
	Roll     *Roll            `json:"roll,omitempty"`  // absent = may not be rolled
	Stiff    bool             `json:"stiff,omitempty"` // matted or mounted: makes the parcel stiff, never rolled
}

// Roll says how tightly a sheet may be rolled: the smallest inner diameter.
type Roll struct {
	Tightest measure.Length `json:"tightest" least:"1"`
}

// Options are the studio's choices for the computation.
type Options struct {
	MinuteWage   int64 `json:"minute_wage,omitempty" most:"1000000"`          // minor units a minute of packing; 0 = not counted
	ExactStates  int   `json:"exact_states,omitempty" least:"1" most:"65536"` // largest number of states of an order solved exactly; absent = 65536
	RejectedMost *int  `json:"rejected_most,omitempty" most:"200"`            // rejected options listed for each parcel; absent = 12
}
