package order

import (
	"strings"

	"solander/fault"
)

// Lack is one thing without which an order cannot go, with its mend. Rule is a stable name, listed in docs/guide.md.
type Lack struct {
	Rule string `json:"rule"`
	What string `json:"what"`
	Mend string `json:"mend"`
}

// The rules of what an order may lack. The studio adds those that only it knows: LackSheet, LackPlan and LackFacts.
const (
	LackMoney     = "money"     // it is not paid in full
	LackSignature = "signature" // a print is not signed
	LackAddress   = "address"   // no label can be written
	LackSheet     = "sheet"     // a print has no sheet in the drawer
	LackPlan      = "plan"      // no packaging, or no service, takes it
	LackFacts     = "facts"     // its buyer is still to be told facts: it may be packed, and is not handed over
)

// HeldBack returns why the order may not leave, without regard to an override: not paid in full, or a
// number not signed. Empty when nothing holds it.
func (o Order) HeldBack() []string {
	var why []string
	for _, l := range o.held() {
		why = append(why, l.What)
	}
	return why
}

// held is what an override lets pass.
func (o Order) held() []Lack {
	var out []Lack
	if owed := o.Owed(); owed.Sign() > 0 {
		out = append(out, Lack{LackMoney, owed.String() + " is still owed", "collect it, or override it with a reason"})
	}
	for _, l := range o.Live() {
		if !l.Signed {
			what := "a print"
			if !l.Number.IsZero() {
				what = "number " + l.Number.String()
			}
			out = append(out, Lack{LackSignature, what + " is not signed", "sign it, or override it with a reason"})
		}
	}
	return out
}

// Lacks returns everything that an open order lacks before it may leave: what holds it back, unless the artist has
// overridden that, and its address, which no override writes. Empty when nothing does.
func (o Order) Lacks() []Lack {
	var out []Lack
	if o.Override == nil {
		out = o.held()
	}
	if what := o.NoAddress(); what != "" {
		out = append(out, Lack{LackAddress, what, "write it on the order, or say that it is handed over in person"})
	}
	return out
}

// MayLeave returns nil when the order may leave the house: it lacks nothing. What is closed, cancelled or returned
// does not leave any more, override or not. Faults: Refused, one for each lack.
func (o Order) MayLeave() error {
	switch o.State {
	case Closed, Cancelled, Returned:
		return fault.New(fault.Refused, "it is %s", o.State).At("%s", o.Mark).ToMend("look at the order again")
	}
	return o.Refuse(o.Lacks())
}

// Refuse makes one fault of each lack; nil when there is none.
func (o Order) Refuse(lacks []Lack) error {
	var l fault.List
	for _, x := range lacks {
		l.Add(fault.New(fault.Refused, "%s", x.What).At("%s", o.Mark).ToMend("%s", x.Mend))
	}
	return l.Err()
}

// NoAddress says why no label can be written for the order: its address is missing, or what it lacks. "" when one can,
// or when none is needed because it is handed over in person.
func (o Order) NoAddress() string {
	if o.InPerson {
		return ""
	}
	a := o.ShipTo
	if a.Name = ""; a == (Address{}) {
		return "the address is missing"
	}
	var parts []string
	for _, f := range fault.All(o.ShipTo.Validate()) {
		part := addressParts[f.Field]
		if strings.TrimSpace(o.ShipTo.part(f.Field)) != "" {
			part += " that can be printed"
		}
		parts = append(parts, part)
	}
	if len(parts) == 0 {
		return ""
	}
	return "the address lacks its " + strings.Join(parts, ", ")
}

var addressParts = map[string]string{
	"ship_to.name": "name", "ship_to.line1": "street", "ship_to.line2": "second line", "ship_to.city": "town",
	"ship_to.region": "state or region", "ship_to.postcode": "postcode", "ship_to.country": "country",
}

func (a Address) part(field string) string {
	return map[string]string{
		"ship_to.name": a.Name, "ship_to.line1": a.Line1, "ship_to.line2": a.Line2, "ship_to.city": a.City,
		"ship_to.region": a.Region, "ship_to.postcode": a.Postcode, "ship_to.country": a.Country,
	}[field]
}
