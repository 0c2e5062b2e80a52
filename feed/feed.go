// Package feed says by what other programs may write here: feeds with their scopes and secrets, how a message is read, and what was
// answered.
package feed

import (
	"encoding/json"
	"fmt"
	"slices"
	"time"

	"solander/fault"
	"solander/intake/hook"
	"solander/order"
)

// Feed lets another program write for one outlet: by calls with a token, by signed messages to a
// web-hook, or both. It sees that outlet's orders alone.
type Feed struct {
	ID        int64           `json:"id"`
	Name      string          `json:"name"`
	Outlet    int64           `json:"outlet"`
	Scopes    []Scope         `json:"scopes"`
	TokenHash string          `json:"-"`                 // SHA-256 of its token, in hex; the token itself is kept nowhere
	Mapping   int64           `json:"mapping,omitempty"` // how its web-hook reads a message; 0 = it has none
	Made      time.Time       `json:"made_at"`
	Used      time.Time       `json:"used_at,omitzero"`    // the zero time: never
	Revoked   time.Time       `json:"revoked_at,omitzero"` // the zero time: it is in use
	Buyers    order.BuyerRule `json:"buyers"`              // what becomes of an order whose buyer may be in the book; "" = order.TakeSame
}

// Scope is something that a feed may do.
type Scope string

// The scopes.
const (
	OrdersRead     Scope = "orders:read"
	OrdersWrite    Scope = "orders:write" // take an order; change its days, charges and texts
	PaymentsWrite  Scope = "payments:write"
	BuyersWrite    Scope = "buyers:write"    // correct who the buyer of an order is
	BuyersRead     Scope = "buyers:read"     // read every buyer of the studio, whatever the outlet
	BuyersMerge    Scope = "buyers:merge"    // say who is the same person, and who is not
	AddressesWrite Scope = "addresses:write" // correct where an order goes
	EditionsRead   Scope = "editions:read"
	PapersRead     Scope = "papers:read"  // print the day's papers, of all outlets
	QuotesRead     Scope = "quotes:read"  // ask what sending would cost, and what is kept of the price
	FairsRead      Scope = "fairs:read"   // read the outlet's days at a table
	ClaimsRead     Scope = "claims:read"  // read the claims for the outlet's parcels
	ClaimsWrite    Scope = "claims:write" // note that a claim was filed, answered or paid
	HooksWrite     Scope = "hooks:write"  // send signed messages that become orders
)

// Scopes returns all scopes.
func Scopes() []Scope {
	return []Scope{OrdersRead, OrdersWrite, PaymentsWrite, BuyersWrite, BuyersRead, BuyersMerge, AddressesWrite, EditionsRead, PapersRead, QuotesRead, FairsRead, ClaimsRead, ClaimsWrite, HooksWrite}
}

// May returns nil when the feed is in use and has the scope. Faults: Unknown, Denied.
func (f Feed) May(scope Scope) error {
	if !f.Revoked.IsZero() {
		return fault.New(fault.Unknown, "this feed was revoked").ToMend("ask the studio for a new one")
	}
	if !slices.Contains(f.Scopes, scope) {
		return fault.New(fault.Denied, "this feed may not do that: it lacks the scope %s", scope).ToMend("ask the studio for a feed with that scope")
	}
	return nil
}

// Validate looks at a feed alone. Faults: Invalid, one a field.
func (f Feed) Validate() error {
	var l fault.List
	l.Add(order.Text("name", f.Name, 120, true))
	l.Check(f.Outlet > 0, "outlet", "the outlet is missing", "say for which outlet it writes")
	l.Check(len(f.Scopes) > 0, "scopes", "it may do nothing", "choose at least one scope")
	for i, s := range f.Scopes {
		l.Check(slices.Contains(Scopes(), s), "scopes", fmt.Sprintf("%.40q is not a scope", string(s)), "use one of those that are listed")
		l.Check(!slices.Contains(f.Scopes[:i], s), "scopes", fmt.Sprintf("%.40q is named twice", string(s)), "name it once")
	}
	l.Check(f.Buyers == "" || slices.Contains(order.BuyerRules(), f.Buyers), "buyers", fmt.Sprintf("%.40q is no rule for buyers", string(f.Buyers)), "use take, propose or new")
	l.Check(f.Mapping >= 0, "mapping", "there is no such mapping", "choose one of the list")
	return l.Err()
}

// Secret is a secret with which messages to a feed's web-hook are signed. It has to be kept as it
// is: whoever checks a signature needs it.
type Secret struct {
	ID     int64     `json:"id"`
	Feed   int64     `json:"feed"`
	Secret string    `json:"-"`
	Made   time.Time `json:"made_at"`
}

// Answer is what a feed was answered to a write. The same request under the same key gets it again.
type Answer struct {
	Feed   int64
	Key    string
	Print  string // SHA-256 of the request, in hex
	Answer string // as the face made it
	At     Time
}

// Message is a message of a web-hook that was taken.
type Message struct {
	Feed  int64
	Print string // SHA-256 of the message, in hex
	At    Time
}

// Mapping is a named way to read an order from another program's JSON (docs/formats/hook.md).
type Mapping struct {
	ID   int64           `json:"id"`
	Name string          `json:"name"`
	Body json.RawMessage `json:"mapping"`
}

// Validate looks at a mapping alone. Faults: Invalid.
func (m Mapping) Validate() error {
	var l fault.List
	l.Add(order.Text("name", m.Name, 120, true))
	_, err := hook.ReadMapping(m.Body)
	l.Add(fault.Below(err, "mapping."))
	return l.Err()
}

// Time is the feeds' own time, which no jump of the clock can turn: what was answered under a key must not be forgotten because
// a machine woke up in another year. Seq counts the writes of all feeds. Age is how long they took: what the clock says between one
// and the next, but never less than nothing, and never more than an hour, however long nobody wrote.
type Time struct {
	Seq   int64
	Age   time.Duration
	Clock time.Time // what the clock said then; only its difference to the next one counts
}

const (
	// longestStep is what a write moves the feeds' time on by at most.
	longestStep = time.Hour
	// keepFor is how long answers and messages are kept by the feeds' time: a day is promised.
	keepFor = 48 * time.Hour
	// keepLast is how many of the latest are kept, however old they are.
	keepLast = 1000
)

// Next is the time of the next write.
func (f Time) Next(now time.Time) Time {
	step := min(max(now.Sub(f.Clock), 0), longestStep)
	if f.Seq == 0 {
		step = 0
	}
	return Time{Seq: f.Seq + 1, Age: f.Age + step, Clock: now}
}

// Forgotten is the time up to which nothing is known any more.
func (f Time) Forgotten() Time { return Time{Seq: f.Seq - keepLast, Age: f.Age - keepFor} }
