// Package hook turns another program's message into an order: it checks the message's signature and reads the
// order from whatever JSON it holds, by a mapping that says where each field stands. docs/formats/hook.md
// describes both.
//
// It knows no network, clock or store: the instant, the secrets and the studio's currency and time zone come in
// as arguments. Amounts are exact; nothing is rounded, and what cannot be read is a fault that names the place
// in the message.
package hook

import (
	"strconv"
	"strings"
	"time"

	"solander/calendar"
	"solander/internal/pointer"
	"solander/money"
	"solander/order"
)

// Studio is what reading a message needs to know of the studio.
type Studio struct {
	Currency string
	Place    *time.Location // its time zone, in which an instant falls on a day
}

// Reading is what a mapping makes of a message.
type Reading struct {
	Passed      string // why the message is none of an order, by the mapping's "only"; "" = it is one
	Ref         string
	Buyer       order.Buyer
	ShipTo      order.Address
	Placed      calendar.Day
	Promised    calendar.Day
	ArriveBy    calendar.Day
	Lines       []Line
	Postage     money.Amount
	Tax         money.Amount
	Paid        money.Amount
	Note        string
	GiftMessage string
	PaidNote    string

	from map[string]pointer.Pointer // where each field was read, by its name in faults
}

// Line is one print.
type Line struct {
	Edition int64
	Number  string
	Price   *money.Amount // nil: none was named
}

// inFaults are the fields whose names in faults are others than in a mapping.
var inFaults = map[string]string{"buyer": "buyer.name", "email": "buyer.email", "phone": "buyer.phone", "buyer_note": "note", "amount": "paid"}

// Source returns where in the message a field was read, as a JSON Pointer in the form of a URI's fragment, for
// the field of a fault: its own place, or that of what it is part of. "" when it stands nowhere.
func (r Reading) Source(field string) string {
	if f, ok := inFaults[field]; ok {
		field = f
	}
	for field != "" {
		if p, ok := r.from[field]; ok {
			return p.Fragment()
		}
		field = field[:max(0, strings.LastIndexAny(field, ".["))]
	}
	return ""
}

func lineField(i int, name string) string { return "lines[" + strconv.Itoa(i) + "]." + name }
