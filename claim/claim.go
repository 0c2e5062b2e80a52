// Package claim knows claims on operators for parcels that were damaged, lost, or opened with a part missing: what is told of each, when it may be
// filed, up to how much, what the operator answered and paid, what the buyer got, and what it cost.
//
// Days are civil days. Amounts are exact, in the studio's currency. It knows no store, no clock and no price card: the days of a card and the
// cover come in as arguments. What no card says is not guessed.
package claim

import (
	"time"

	"solander/calendar"
	"solander/fault"
	"solander/money"
	"solander/order"
)

// Kind is what is wrong with a parcel.
type Kind string

// The kinds.
const (
	Damaged Kind = "damaged"
	Lost    Kind = "lost"
	Missing Kind = "missing" // a part of what was in it
)

// Kinds are all kinds.
func Kinds() []Kind { return []Kind{Damaged, Lost, Missing} }

// Words says a kind.
func (k Kind) Words() string {
	return map[Kind]string{Damaged: "damaged", Lost: "lost on the way", Missing: "a part is missing"}[k]
}

// State is how far a claim has come with the operator.
type State string

// The states. Void: nothing was wrong, it was noted wrongly.
const (
	Told    State = "told"    // nothing was filed yet
	Filed   State = "filed"   // the operator has it
	Granted State = "granted" // the operator pays all or a part
	Refused State = "refused"
	Paid    State = "paid"
	Closed  State = "closed"
	Void    State = "void"
)

// Words says a state.
func (s State) Words() string {
	return map[State]string{
		Told: "not filed yet", Filed: "filed, no answer yet", Granted: "the operator pays", Refused: "the operator refused it",
		Paid: "paid by the operator", Closed: "closed", Void: "noted wrongly",
	}[s]
}

// Made is how it was made good to the buyer.
type Made string

// The ways. "" is none yet.
const (
	Replaced Made = "replaced" // another sheet goes out, with its number struck again or another one
	PaidBack Made = "paid-back"
	Kept     Made = "kept"    // the buyer keeps the print, and was paid back a part of its price
	Arrived  Made = "arrived" // it came after all, or was whole: nothing is to be made good
)

// Words says it.
func (m Made) Words() string {
	return map[Made]string{
		"": "not made good yet", Replaced: "replaced", PaidBack: "paid back", Kept: "the buyer keeps the print, a part was paid back", Arrived: "nothing was to be made good",
	}[m]
}

// Gone reports whether the prints were given up, with their packaging and postage.
func (m Made) Gone() bool { return m == Replaced || m == PaidBack }

// Loss is what sending one print had cost when it was given up, by the journal.
type Loss struct {
	Order   int64        `json:"order"`
	Line    int64        `json:"line"`
	Edition int64        `json:"edition"`
	Outlet  int64        `json:"outlet"`
	Print   money.Amount `json:"print"`
	Packing money.Amount `json:"packing"`
	Postage money.Amount `json:"postage"`
}

// Claim is one claim, for one parcel.
type Claim struct {
	ID        int64        `json:"id"`
	Parcel    int64        `json:"parcel"`
	Order     int64        `json:"order"` // under which the parcel goes
	Kind      Kind         `json:"kind"`
	Lines     []int64      `json:"lines"` // the prints that it is about
	Losses    []Loss       `json:"losses"`
	Told      calendar.Day `json:"told"`
	State     State        `json:"state"`
	Filed     calendar.Day `json:"filed,omitzero"`
	Reference string       `json:"reference,omitempty"` // by which the operator knows it
	Claimed   money.Amount `json:"claimed"`
	Above     string       `json:"above,omitempty"` // why more is claimed than the cover
	Answered  calendar.Day `json:"answered,omitzero"`
	Granted   money.Amount `json:"granted"`
	Answer    string       `json:"answer,omitempty"` // in the operator's words
	PaidOn    calendar.Day `json:"paid_on,omitzero"`
	Paid      money.Amount `json:"paid"`
	Ended     calendar.Day `json:"ended,omitzero"`
	Made      Made         `json:"made"`
	MadeOn    calendar.Day `json:"made_on,omitzero"`
	Instead   []int64      `json:"instead,omitempty"` // the lines that go in place of those of a replacement
	Note      string       `json:"note,omitempty"`
	Turn      int          `json:"turn"` // deeds so far
	At        time.Time    `json:"at"`
	Who       string       `json:"who"`
}

// Open reports whether something is still to be done or awaited.
func (c Claim) Open() bool { return c.State != Closed && c.State != Void }

// Short is what the operator granted and has not paid.
func (c Claim) Short() money.Amount {
	return money.Of(c.Granted.Minor-c.Paid.Minor, c.Granted.Currency)
}

// Cost is what it all cost, less what the operator pays; what was paid back to the buyer stands with the order.
func (c Claim) Cost() money.Amount {
	n := int64(0)
	if c.Made.Gone() {
		for _, l := range c.Losses {
			n += l.Print.Minor + l.Packing.Minor + l.Postage.Minor
		}
	}
	got := c.Granted.Minor
	if c.State == Closed {
		got = c.Paid.Minor
	}
	return money.Of(n-got, c.Claimed.Currency)
}

// Came says what it all came to: "it cost 25.75 USD", or what was left over.
func (c Claim) Came() string {
	switch n := c.Cost(); n.Sign() {
	case 1:
		return "it cost " + n.String()
	case -1:
		return n.Neg().String() + " were left over"
	}
	return "it cost nothing"
}

// Photo is a picture of the damage, as it is kept: upright, in sRGB, without anything else that was in the file.
type Photo struct {
	ID     int64     `json:"id"`
	Claim  int64     `json:"claim"`
	Alt    string    `json:"alt,omitempty"` // what is to be seen
	Digest string    `json:"digest"`        // SHA-256 of its bytes, in hexadecimal digits
	Width  int       `json:"width"`         // pixels
	Height int       `json:"height"`
	At     time.Time `json:"at"`
	Who    string    `json:"who"`
}

// MostPhotos is how many photos a claim has at most.
const MostPhotos = 8

// Query says which claims are wanted; zero fields do not restrict.
type Query struct {
	Parcel int64
	Order  int64 // of which lines are among those of the claim's parcel
	Open   bool
}

// Store is what is kept of claims.
type Store interface {
	Claims(Query) ([]Claim, error) // the latest told first
	Claim(id int64) (Claim, error)
	// AddClaim adds one. Faults: Taken when its parcel has one that is not void; Missing.
	AddClaim(Claim) (int64, error)
	SaveClaim(Claim) error
	ClaimPhotos(claim int64) ([]Photo, error) // oldest first
	ClaimPhoto(id int64) (Photo, error)
	ClaimPhotoBody(id int64) ([]byte, error) // JPEG; none when its buyer was erased
	AddClaimPhoto(p Photo, jpeg []byte) (int64, error)
	DropClaimPhoto(id int64) error
}

// Validate looks at what is told of a claim, alone. Faults: Invalid.
func (c Claim) Validate() error {
	var l fault.List
	l.Check(c.Kind.Words() != "", "kind", "it is not said what is wrong with the parcel", "use damaged, lost or missing")
	l.Add(order.Note("note", c.Note))
	return l.Err()
}
