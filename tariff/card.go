// Package tariff knows dated price cards of postal operators as data, and prices a parcel by them.
//
// A card holds services; a service holds limits, prices by step and zone, surcharges, dimensional mass,
// cover and days. The engine knows only these general notions: every rule and every number of an operator
// stands in a card, with its source. Lengths are nanometres, masses nanograms, volumes cubic micrometres,
// money minor units of the card's currency. A price is never rounded: the cards hold whole minor units.
// Dimensions, masses and volumes are compared exactly. The format is docs/formats/tariff.md.
//
// The room reads no clock, no network and no disk: a day and an fs.FS are arguments.
package tariff

import (
	"solander/calendar"
	"solander/measure"
)

// Card is one dated price list of one operator for one class of customer.
type Card struct {
	ID         string       `json:"id" form:"id"`
	Series     string       `json:"series" least:"1"` // cards of a series follow one another in time
	Operator   string       `json:"operator" least:"1"`
	Currency   string       `json:"currency" form:"currency"`
	From       calendar.Day `json:"from"`
	To         calendar.Day `json:"to"` // last day; no day = open
	PriceClass string       `json:"price_class" least:"1"`
	Source     string       `json:"source" least:"1"`
	Status     string       `json:"status" form:"status"`
	Note       string       `json:"note,omitempty"`
	Replaces   []Replaced   `json:"replaces,omitempty"`
	Zones      []ZoneTable  `json:"zones,omitempty"`
	Services   []Service    `json:"services" least:"1"`
}

// Replaced names the services of a class in the cards of another series: a card that holds a part of a price
// list anew takes their place, see Select.
type Replaced struct {
	Series string `json:"series" least:"1"`
	Class  string `json:"class" least:"1"`
}

// ZoneTable says in which zone a destination lies, seen from an origin. Tables of one card may share a
// name and differ in origin: the first whose origin matches is used.
type ZoneTable struct {
	Name   string    `json:"name" least:"1"`
	Origin Origin    `json:"origin"`
	Source string    `json:"source" least:"1"`
	Status string    `json:"status" form:"status"` // "estimated" makes a plan warn
	Note   string    `json:"note,omitempty"`
	Rows   []ZoneRow `json:"rows" least:"1"`
}

// Origin is where parcels start: a country and the first characters of the postcode, both may be empty
// (anywhere).
type Origin struct {
	Country string `json:"country,omitempty" form:"country"`
	Prefix  string `json:"prefix,omitempty"`
}

// ZoneRow puts a country, or its postcodes from From to To by their first len(From) characters, into a
// zone. An empty country is every country.
type ZoneRow struct {
	Country string       `json:"country,omitempty" form:"country"`
	From    string       `json:"from,omitempty"`
	To      string       `json:"to,omitempty"`
	Zone    string       `json:"zone" least:"1"`
	Most    measure.Mass `json:"most,omitempty" least:"1"` // heaviest parcel taken there; absent = not limited here
}

// Place is one end of a parcel's way.
type Place struct {
	Country  string `json:"country" form:"country"` // ISO 3166-1 alpha-2, capitals
	Postcode string `json:"postcode,omitempty" most:"40"`
}
