// Package order knows outlets, buyers, orders, their lines and payments, what is owed, and when an
// order may leave the house. What is owed is always computed, never stored.
package order

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"solander/calendar"
	"solander/charging"
	"solander/edition"
	"solander/fault"
	"solander/money"
)

// Outlet is where sales are made.
type Outlet struct {
	ID           int64          `json:"id"`
	Name         string         `json:"name"`
	Fees         charging.Table `json:"fees"`         // what it keeps of a sale, and what is kept of payments there
	PromiseDays  int            `json:"promise_days"` // working days from the sale to hand-over
	CollectsTax  bool           `json:"collects_tax"` // the outlet collects and remits the sales tax itself
	PriceIncPost bool           `json:"price_includes_postage"`
	Closed       bool           `json:"closed"`
}

// Buyer is a person or a gallery.
type Buyer struct {
	ID     int64  `json:"id"`
	Name   string `json:"name"`
	Email  string `json:"email,omitempty"`
	Phone  string `json:"phone,omitempty"`
	Note   string `json:"note,omitempty"`
	SameAs int64  `json:"same_as,omitempty"` // the buyer as whom she was taken; 0 = she stands for herself
	Apart  bool   `json:"apart,omitempty"`   // she is never compared with anybody
}

// ErasedName stands in the place of the name of a buyer who was erased.
const ErasedName = "an erased buyer"

// Person is the buyer as whom she was taken, or herself.
func (b Buyer) Person() int64 {
	if b.SameAs != 0 {
		return b.SameAs
	}
	return b.ID
}

// Said is who the buyer is in the words of an order. It stays what it was when the book says more or better.
type Said struct {
	Name  string `json:"name,omitempty"`
	Email string `json:"email,omitempty"`
	Phone string `json:"phone,omitempty"`
}

// Said is what an order says of a buyer who is written so.
func (b Buyer) Said() Said { return Said{b.Name, b.Email, b.Phone} }

// State is the life of an order. Where an open order stands is computed from its lines, payments and
// parcels: see Stage.
type State string

// The states of an order.
const (
	Open      State = "open"
	Closed    State = "closed" // everything handed over
	Cancelled State = "cancelled"
	Returned  State = "returned" // it came back whole
)

// Order is one sale. Mark is the studio's own name for it ("S-1042"), Ref the outlet's.
type Order struct {
	ID          int64        `json:"id"`
	Mark        string       `json:"mark"`
	Outlet      int64        `json:"outlet"`
	Ref         string       `json:"ref,omitempty"`
	Buyer       int64        `json:"buyer"`
	Placed      calendar.Day `json:"placed"`
	Promised    calendar.Day `json:"promised"` // the day by which it is to be handed over
	ArriveBy    calendar.Day `json:"arrive_by"`
	ShipTo      Address      `json:"ship_to"`
	InPerson    bool         `json:"in_person,omitempty"` // handed over to the buyer in person: it needs no address, parcel or label
	Lines       []Line       `json:"lines"`
	Postage     money.Amount `json:"postage"` // charged to the buyer
	Tax         money.Amount `json:"tax"`
	TaxByOutlet bool         `json:"tax_by_outlet"`
	Fee         money.Amount `json:"fee"` // of the outlet, as computed at the sale or as corrected since
	Note        string       `json:"note,omitempty"`
	GiftMessage string       `json:"gift_message,omitempty"`
	State       State        `json:"state"`
	Override    *Override    `json:"override,omitempty"`
	Payments    []Payment    `json:"payments"`
	Closed      calendar.Day `json:"closed_on"` // the day it was closed, cancelled or returned
	Said        Said         `json:"said,omitzero"`
	Choice      *Choice      `json:"choice,omitempty"`
	Wait        *Wait        `json:"wait,omitempty"`
	Credit      Credit       `json:"credit,omitzero"` // read from its papers of money; it is no field of the order
}

// Line is one impression of an order. Number is none for an open edition.
type Line struct {
	ID        int64          `json:"id"`
	Order     int64          `json:"order"`
	Edition   int64          `json:"edition"`
	Number    edition.Number `json:"number"`
	Price     money.Amount   `json:"price"`
	Dropped   bool           `json:"dropped"` // taken out of the order
	Signed    bool           `json:"signed"`  // read from the register; of an open edition, kept with the line
	Sent      bool           `json:"sent"`
	Parcel    int64          `json:"parcel,omitempty"`
	SignedDay calendar.Day   `json:"signed_on"`
}

// Override lets an order leave although a rule holds it back. The reason is recorded for ever.
type Override struct {
	Reason string    `json:"reason"`
	At     time.Time `json:"at"`
	Who    string    `json:"who"`
}

// Choice is another way to send an order than the cheapest, chosen by its artist: what its parcels must keep. The words are those of
// packing/front. The reason is recorded for ever.
type Choice struct {
	ArriveBy  calendar.Day `json:"arrive_by,omitzero"`  // latest day of arrival; no day = any
	Packaging string       `json:"packaging,omitempty"` // at least "stiff" or "boxed"; "" = any
	Care      string       `json:"care,omitempty"`      // at least "tracked", "covered" or "signed"; "" = any
	Reason    string       `json:"reason"`
	At        time.Time    `json:"at"`
	Who       string       `json:"who"`
}

// Wait is that an order is to go on a later day than it could, said by its artist, and what it waits for; or that packaging is kept for an
// order which cannot go sooner. It holds while that is to come by then, or the order is; see planning.
type Wait struct {
	Until calendar.Day   `json:"until"`           // the day on which it is to go
	With  []string       `json:"with,omitempty"`  // marks of the orders that it is to go with
	For   map[string]int `json:"for,omitempty"`   // keys of packaging that is to come, with the pieces that were there
	Keeps map[string]int `json:"keeps,omitempty"` // keys of packaging that is kept for it until then, with the pieces
	Kept  bool           `json:"kept,omitempty"`  // it cannot go sooner: what Keeps names is kept for it, and no more is said
	Saves money.Amount   `json:"saves"`           // as it was told
	At    time.Time      `json:"at"`
	Who   string         `json:"who"`
}

// PaymentKind tells what a payment is.
type PaymentKind string

// The kinds of payment. A refund is money back to the buyer; its Amount is positive too.
const (
	Deposit PaymentKind = "deposit"
	Balance PaymentKind = "balance"
	Refund  PaymentKind = "refund"
)

// PaymentKinds returns all kinds.
func PaymentKinds() []PaymentKind { return []PaymentKind{Deposit, Balance, Refund} }

// Words is how a payment of that kind is read: as what was paid, never as what was owed.
func (k PaymentKind) Words() string {
	switch k {
	case Deposit:
		return "paid, a deposit"
	case Refund:
		return "paid back"
	default:
		return "paid"
	}
}

// How is by what a payment was made.
type How string

// The ways of paying that are told apart.
const (
	Unsaid  How = ""     // nobody said
	InCash  How = "cash" // it lies in the cash box
	ByCard  How = "card"
	Another How = "other"
)

// Hows returns all ways, the one that nobody said last.
func Hows() []How { return []How{InCash, ByCard, Another, Unsaid} }

// Words says how it was paid, as a word.
func (h How) Words() string {
	switch h {
	case Unsaid:
		return "not said"
	case Another:
		return "another way"
	}
	return string(h)
}

// OneHow is the way by which all that was paid for the order was; Unsaid when there are several, or none.
func (o Order) OneHow() How {
	var one *How
	for _, p := range o.Payments {
		switch {
		case p.Reversed || p.Kind == Refund:
		case one == nil:
			one = &p.How
		case *one != p.How:
			return Unsaid
		}
	}
	if one == nil {
		return Unsaid
	}
	return *one
}

// Payment is money in, or with Refund money out.
type Payment struct {
	ID       int64        `json:"id"`
	Order    int64        `json:"order"`
	Kind     PaymentKind  `json:"kind"`
	Amount   money.Amount `json:"amount"`
	Day      calendar.Day `json:"day"`
	Note     string       `json:"note,omitempty"`
	Reversed bool         `json:"reversed"`     // a wrong entry taken back; it counts no more
	Fee      money.Amount `json:"fee,omitzero"` // what was kept back of it on its way; the buyer paid the whole amount
	How      How          `json:"how,omitempty"`
}

// Live returns the lines that are still part of the order: its own, not to be changed, when none was taken out.
func (o Order) Live() []Line { return Without(o.Lines, func(l Line) bool { return l.Dropped }) }

// Without returns the lines but for some: the very same, not to be changed, when there are none of these.
func Without(lines []Line, some func(Line) bool) []Line {
	if !slices.ContainsFunc(lines, some) {
		return slices.Clip(lines)
	}
	var out []Line
	for _, l := range lines {
		if !some(l) {
			out = append(out, l)
		}
	}
	return out
}

// Goods is the sum of the prices of the live lines.
func (o Order) Goods() money.Amount {
	t := money.Of(0, o.Postage.Currency)
	for _, l := range o.Live() {
		t = plus(t, l.Price)
	}
	return t
}

// Addable says what keeps the amounts of an order from being added up; nil when every sum of some of them, added or taken
// away, is exact. Whoever takes an order from outside asks it first: Goods, Due, Paid and Owed do not go on without it.
// Faults: Invalid when they are in different currencies or do not fit together.
func (o Order) Addable() error {
	all := []money.Amount{o.Postage}
	if !o.TaxByOutlet {
		all = append(all, o.Tax)
	}
	for _, l := range o.Lines {
		all = append(all, l.Price)
	}
	for _, p := range o.Payments {
		all = append(all, p.Amount)
	}
	var whole money.Amount // of their sizes
	for _, a := range all {
		add := whole.Add
		if a.Sign() < 0 {
			add = whole.Sub
		}
		var err error
		if whole, err = add(a); err != nil {
			return err
		}
	}
	return nil
}

// plus adds amounts of an order that is Addable. It never leaves one out: of any other order it panics.
func plus(a, b money.Amount) money.Amount {
	s, err := a.Add(b)
	if err != nil {
		panic(err)
	}
	return s
}

// Due is what the buyer pays the studio in all: goods, postage, and tax unless the outlet collects it.
// A cancelled or returned order is due nothing.
func (o Order) Due() money.Amount {
	if o.State == Cancelled || o.State == Returned {
		return money.Of(0, o.Postage.Currency)
	}
	t := plus(o.Goods(), o.Postage)
	if !o.TaxByOutlet {
		t = plus(t, o.Tax)
	}
	return t
}

// Paid is what came in less what was refunded.
func (o Order) Paid() money.Amount {
	t := money.Of(0, o.Postage.Currency)
	for _, p := range o.Payments {
		switch {
		case p.Reversed:
		case p.Kind == Refund:
			t = plus(t, p.Amount.Neg())
		default:
			t = plus(t, p.Amount)
		}
	}
	return t
}

// Stage is where an open order stands on the bench.
type Stage string

// The stages, in working order.
const (
	AwaitsMoney    Stage = "money"     // a deposit or nothing was paid
	AwaitsSheet    Stage = "sheet"     // no sheet in the drawer for it
	AwaitsSigning  Stage = "signing"   // a sheet is there, unsigned
	AwaitsAddress  Stage = "address"   // all signed, and no label can be written: the address is missing
	AwaitsPacking  Stage = "packing"   // all signed, no parcel
	AwaitsLabel    Stage = "label"     // packed, no service and postage noted
	AwaitsHandOver Stage = "hand-over" // labelled, or to be handed over in person
	Done           Stage = "done"      // closed, cancelled or returned
)

// Stages returns all stages in working order.
func Stages() []Stage {
	return []Stage{AwaitsMoney, AwaitsSheet, AwaitsSigning, AwaitsAddress, AwaitsPacking, AwaitsLabel, AwaitsHandOver, Done}
}

// Words says the stage as every face of the studio does: "to pack". "" for a stage that there is not.
func (s Stage) Words() string {
	return map[Stage]string{
		AwaitsMoney: "awaits money", AwaitsSheet: "awaits a sheet", AwaitsSigning: "to sign", AwaitsAddress: "awaits an address",
		AwaitsPacking: "to pack", AwaitsLabel: "to label", AwaitsHandOver: "to hand over", Done: "done",
	}[s]
}

// Basis is what an order comes to, as far as an outlet's fee looks at it.
func (o Order) Basis() charging.Basis {
	b := charging.Basis{Day: o.Placed, Postage: o.Postage, Tax: o.Tax}
	for _, l := range o.Live() {
		b.Prints = append(b.Prints, l.Price)
	}
	return b
}

// Validate looks at an outlet alone.
func (u Outlet) Validate() error {
	var l fault.List
	l.Add(Text("name", u.Name, 120, true))
	l.Add(u.Fees.Check())
	l.Check(u.PromiseDays >= 0 && u.PromiseDays <= 365, "promise_days", fmt.Sprintf("%d working days is not a likely promise", u.PromiseDays), "use 0 to 365")
	return l.Err()
}

// Validate looks at a buyer alone.
func (b Buyer) Validate() error {
	var l fault.List
	l.Add(Text("buyer", b.Name, 120, true))
	l.Add(Text("email", b.Email, 254, false))
	l.Check(b.Email == "" || plausible(b.Email), "email", fmt.Sprintf("%.60q is not an e-mail address", b.Email), "write it like name@example.org")
	l.Add(Text("phone", b.Phone, 40, false))
	l.Add(Note("buyer_note", b.Note))
	return l.Err()
}

func plausible(email string) bool {
	local, host, ok := strings.Cut(email, "@")
	return ok && local != "" && host != "" && !strings.ContainsAny(email, " \u00a0\t<>(),;") && !strings.Contains(host, "@")
}
