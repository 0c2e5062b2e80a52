package access

import (
	"cmp"

	"solander/fault"
)

// Demand says of whom a second factor, or a passkey, is demanded when they sign in from another machine than the studio's own.
type Demand string

// The demands.
const (
	OfEverybody Demand = "everybody"
	OfOwners    Demand = "owners"
	OfNobody    Demand = "nobody"
)

// Demands returns all, the strictest first.
func Demands() []Demand { return []Demand{OfEverybody, OfOwners, OfNobody} }

// Said is the demand, or the one that holds while nothing was said: of everybody. A password alone is stolen from afar by whoever guesses
// it or sees it typed; nobody has to choose that this does not suffice.
func (d Demand) Said() Demand { return cmp.Or(d, OfEverybody) }

// Of reports whether it is demanded of a role.
func (d Demand) Of(r Role) bool {
	return d.Said() == OfEverybody || d == OfOwners && r == Owner
}

// Validate looks at a demand. Faults: Invalid.
func (d Demand) Validate() error {
	switch d {
	case OfEverybody, OfOwners, OfNobody:
		return nil
	}
	return fault.Invalidf("of", "it is demanded of nobody called %.40q", d).ToMend("say everybody, owners or nobody")
}
