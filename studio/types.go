package studio

import (
	"cmp"
	"encoding/json"
	"sync"
	"time"

	"solander/access"
	"solander/bench"
	"solander/calendar"
	"solander/certificate"
	"solander/edition"
	"solander/invoice"
	"solander/leaving"
	"solander/measure"
	"solander/money"
	"solander/order"
	"solander/packing"
	"solander/postage"
	"solander/supply"
	"solander/tariff"
	"solander/upkeep"
)

// Settings are the studio's own choices. They are data: no house rule stands in code.
type Settings struct {
	Studio       string           `json:"studio"`
	Artist       string           `json:"artist"`
	Address      order.Address    `json:"address"` // return address and origin of every parcel
	Currency     string           `json:"currency"`
	Units        measure.System   `json:"units"`
	TimeZone     string           `json:"time_zone"` // IANA name
	Holidays     string           `json:"holidays"`  // "us-federal" or "none"
	ClosedDays   []calendar.Day   `json:"closed_days,omitempty"`
	MarkPrefix   string           `json:"mark_prefix"`           // of order marks, "S"
	PriceClasses []string         `json:"price_classes"`         // which prices of the cards she can buy at
	MinuteWage   int64            `json:"minute_wage,omitempty"` // minor units a minute of packing; 0 = not counted
	Papers       []supply.Paper   `json:"papers,omitempty"`
	Labs         []string         `json:"labs,omitempty"`
	Grades       []string         `json:"grades,omitempty"`
	Layouts      []postage.Layout `json:"layouts,omitempty"`        // of address batches
	PromiseHash  string           `json:"promise_hash,omitempty"`   // of the secret part of the address of the promises' calendar; "" = there is none
	FeedsAMinute int              `json:"feeds_a_minute,omitempty"` // requests that one feed may make in a minute; 0 = DefaultFeedsAMinute
	Margin       packing.Margin   `json:"margin,omitzero"`          // by how much prints and parcels may be heavier and thicker than planned
	Wraps        []packing.Wrap   `json:"wraps"`
	Rules        []packing.Rule   `json:"rules"`
	Combine      bool             `json:"combine,omitempty"`      // orders of one buyer to one address may share parcels
	Leaving      []leaving.Way    `json:"leaving,omitempty"`      // how parcels leave the house, in her order
	SetUpMoney   int64            `json:"set_up_money,omitempty"` // minor units that a day's parcels may cost more so that fewer different wraps are made
	Reserve      *int             `json:"reserve,omitempty"`      // working days before its promise by which an order that waits goes; absent = DefaultReserve
	// Zones are zone tables that the studio pasted for its own postcode: they take the place of a card's.
	Zones    []tariff.ZoneTable `json:"zones,omitempty"`
	Unheeded []Unheeded         `json:"unheeded,omitempty"`
	// Retention is how long buyers are kept; absent = nothing was said.
	Retention *upkeep.Retention `json:"retention,omitempty"`
	// Letterhead is what of her own stands on certificates; absent = nothing.
	Letterhead *certificate.Letterhead `json:"letterhead,omitempty"`

	SecondFactor access.Demand `json:"second_factor,omitempty"` // of whom it is demanded; "" = nothing was said

	Bills invoice.Terms `json:"bills,omitzero"` // what of her own stands on papers of money
}

// DefaultReserve is how many working days an order that waits goes before its promise, unless the studio chose. Common practice, no source.
const DefaultReserve = 1

// ReserveDays is how many they are in this studio.
func (s Settings) ReserveDays() int {
	if s.Reserve == nil {
		return DefaultReserve
	}
	return *s.Reserve
}

// Unheeded is what weighed parcels said of a wrap, when she left the wrap's own mass as it was.
type Unheeded struct {
	Wrap string       `json:"wrap"`
	Own  measure.Mass `json:"own"` // of the wrap, by itself
	Off  measure.Mass `json:"off"` // by which its parcels weighed more than planned
}

// Ready reports whether set-up was done.
func (s Settings) Ready() bool { return s.Studio != "" }

// Working returns the working calendar the studio chose.
func (s Settings) Working() calendar.Working {
	if s.Holidays == "us-federal" {
		return calendar.USFederal(s.ClosedDays...)
	}
	return calendar.Weekdays(s.ClosedDays...)
}

// Place returns the studio's time zone; UTC when it is unknown.
func (s Settings) Place() *time.Location {
	if known, ok := zones.Load(s.TimeZone); ok {
		return known.(*time.Location)
	}
	loc, err := time.LoadLocation(s.TimeZone)
	if err != nil {
		return time.UTC
	}
	zones.Store(s.TimeZone, loc)
	return loc
}

// zones are the time zones that were read so far, by their names: every write asks for its day, and to read one takes a file.
var zones sync.Map

// StoredCard is a price card that the studio loaded itself, as JSON (docs/formats/tariff.md).
type StoredCard struct {
	ID   string          `json:"id"`
	Card json.RawMessage `json:"card"`
}

// ShelfItem is one kind of packaging with its stock. Spec.ID is its key in plans and wraps.
type ShelfItem struct {
	ID        int64        `json:"id"`
	Spec      packing.Item `json:"spec"` // its cost is the price of one piece; its stock field is not used
	Stock     int          `json:"stock"`
	ReorderAt int          `json:"reorder_at"` // restock when no more than this are left
	Pack      int          `json:"pack"`       // how many a supplier's pack holds
	Retired   bool         `json:"retired"`
	Coming    int          `json:"coming,omitempty"`  // pieces that are ordered and have not come
	Expected  calendar.Day `json:"expected,omitzero"` // the day on which they are; no day = not said
}

// ParcelState is where a parcel stands.
type ParcelState string

// The states of a parcel.
const (
	Packed     ParcelState = "packed"
	Labelled   ParcelState = "labelled"
	HandedOver ParcelState = "handed-over"
)

// Parcel is what leaves the house: lines of one order, or of several of one buyer, in packaging, by a service.
type Parcel struct {
	ID         int64          `json:"id"`
	Order      int64          `json:"order"`            // the first of its orders, by mark
	Orders     []int64        `json:"orders,omitempty"` // all of them by id, when they are several; the store reads them off the lines
	Lines      []int64        `json:"lines"`
	State      ParcelState    `json:"state"`
	Plan       packing.Parcel `json:"plan"`      // as planned when it was packed
	Warnings   []string       `json:"warnings"`  // of the plan: an ended card
	Service    string         `json:"service"`   // as used; the planned one until labelled
	Estimated  money.Amount   `json:"estimated"` // postage with surcharges and cover, by the card
	Paid       money.Amount   `json:"paid"`      // postage actually paid
	Tracking   string         `json:"tracking,omitempty"`
	Packed     calendar.Day   `json:"packed"`
	Labelled   calendar.Day   `json:"labelled"`
	HandedOver calendar.Day   `json:"handed_over"`
	HandOver   int64          `json:"hand_over,omitempty"` // the batch
	Wrap       string         `json:"wrap,omitempty"`      // the key of its wrap
	WrapMass   measure.Mass   `json:"wrap_mass,omitempty"` // what the wrap weighed by itself when it was packed
	Bare       measure.Mass   `json:"bare_mass,omitempty"` // as planned, without any margin; 0 = not known: packed by an earlier edition of the program
	Weighed    measure.Mass   `json:"weighed,omitempty"`   // by the studio's scale; 0 = not weighed
}

// Mass is what a parcel weighs by the studio's scale, or else as it was planned.
func (p Parcel) Mass() measure.Mass { return cmp.Or(p.Weighed, p.Plan.Mass) }

// Weighing is a parcel that was weighed: what it was to weigh without any margin, and what it did.
type Weighing struct {
	Parcel        int64
	Bare, Weighed measure.Mass
}

// Went are parcels that were handed over and of whose plans a price card asks the same, and what they cost together.
type Went struct {
	Parcels   int
	Card      string // as planned; so the next four
	Planned   string // the service
	Zone      string
	Size      packing.Size
	Billed    measure.Mass
	Service   string // as used
	Estimated money.Amount
	Paid      money.Amount
}

// HandOver is the batch of parcels given to the operator on a day.
type HandOver struct {
	ID      int64        `json:"id"`
	Day     calendar.Day `json:"day"`
	Parcels int          `json:"parcels"`
	Note    string       `json:"note,omitempty"`
}

// Mark is one thing marked done on the bench. Detail holds what undoing it needs.
type Mark struct {
	ID     int64           `json:"id"`
	Order  int64           `json:"order"` // 0 when it belongs to no single order
	Kind   MarkKind        `json:"kind"`
	Text   string          `json:"text"` // "17/250 of Heron at dusk signed"
	Detail json.RawMessage `json:"detail"`
	Day    calendar.Day    `json:"day"`
	At     time.Time       `json:"at"`
	Who    string          `json:"who"`
	Undone bool            `json:"undone"`
}

// Erased reports whether what undoing the mark needs was erased with a buyer.
func (m Mark) Erased() bool {
	var d struct {
		Erased bool `json:"erased"`
	}
	return json.Unmarshal(m.Detail, &d) == nil && d.Erased
}

// Anew is a mark in today's words: earlier editions of the program said some deeds otherwise, and what they wrote stays as it is.
func (m Mark) Anew() Mark {
	if m.Kind == MarkPaid {
		m.Text = order.ToldAnew(m.Text)
	}
	return m
}

// Anew is marks in today's words.
func Anew(marks []Mark) []Mark {
	for i := range marks {
		marks[i] = marks[i].Anew()
	}
	return marks
}

// MarkKind tells what was marked.
type MarkKind string

// The kinds of mark. Each can be undone while nothing later was built on it.
const (
	MarkPaid       MarkKind = "paid"
	MarkSigned     MarkKind = "signed"
	MarkPacked     MarkKind = "packed"
	MarkLabelled   MarkKind = "labelled"
	MarkHandedOver MarkKind = "handed-over"
	MarkReceived   MarkKind = "received" // sheets of a run
	MarkRestocked  MarkKind = "restocked"
	MarkMerged     MarkKind = "merged"     // buyers taken as one person
	MarkParted     MarkKind = "parted"     // orders of a buyer given to one of their own
	MarkToldApart  MarkKind = "told-apart" // buyers who are not the same person
	MarkWeighed    MarkKind = "weighed"    // a parcel, apart from its label
	MarkWrapMass   MarkKind = "wrap-mass"  // what weighed parcels say of a wrap, taken over or not
	MarkWaits      MarkKind = "waits"      // an order is to wait, or is sent at once after all
	MarkClaim      MarkKind = "claim"      // what was noted of a claim
	MarkOther      MarkKind = "other"      // cancelled, returned, promised another number: told, not undone
)

// LineView is an order line with all that a face shows of it.
type LineView struct {
	order.Line
	Ed       edition.Edition  `json:"edition_detail"`
	Label    string           `json:"label"` // "17/250", "AP 2/5", "" for an open edition
	Standing edition.Standing `json:"standing"`
	HasSheet bool             `json:"has_sheet"`
	Coming   *supply.Coming   `json:"coming,omitempty"` // the run that will serve it
	WaitsFor calendar.Day     `json:"waits_since"`      // since when it waits for a sheet; no day = it does not
}

// OrderView is an order with all that a face shows of it.
type OrderView struct {
	order.Order
	OutletName string        `json:"outlet_name"`
	BuyerData  order.Buyer   `json:"buyer_detail"`
	Views      []LineView    `json:"line_views"`
	Stage      order.Stage   `json:"stage"`
	Due        money.Amount  `json:"due"`
	Paid       money.Amount  `json:"paid"`
	Owed       money.Amount  `json:"owed"`
	Sending    Sending       `json:"sending"` // what its packed parcels cost, of shared ones its part
	HeldBack   []string      `json:"held_back,omitempty"`
	Lacks      []order.Lack  `json:"lacks,omitempty"`  // everything without which it cannot go, but for what its plan says
	Tell       []bench.Tell  `json:"tell,omitempty"`   // what its buyer is still to be told, while it is open and after it went
	Doubts     []order.Doubt `json:"doubts,omitempty"` // about the address, while it is open
	Age        int           `json:"age"`              // working days since it was placed
	Late       int           `json:"late"`             // working days past the promise; 0 = in time
	Parcels    []Parcel      `json:"parcels"`
	Marks      []Mark        `json:"marks"`
}

// Sending is what it costs to send an order: packaging and work as planned, postage as paid, or by the card while a parcel
// has no label. Of a parcel that it shares it bears Parcel.ShareOf of each.
type Sending struct {
	Packaging money.Amount `json:"packaging"`
	Work      money.Amount `json:"work"`
	Postage   money.Amount `json:"postage"`
}

// EditionView is an edition with its numbers.
type EditionView struct {
	edition.Edition
	Numbers     []NumberRow           `json:"numbers"` // empty for an open edition
	Counts      map[edition.State]int `json:"counts"`
	Sold        int                   `json:"sold"`
	PriceNow    money.Amount          `json:"price_now"`
	OnHand      int                   `json:"on_hand"`     // sheets in the drawer
	Outstanding int                   `json:"outstanding"` // sheets ordered and not come
}

// EditionRow is one edition in a list.
type EditionRow struct {
	edition.Edition
	Counts      map[edition.State]int `json:"counts"`
	Sold        int                   `json:"sold"`
	Unsold      int                   `json:"unsold"` // numbers that a sale can be given; 0 of an open edition
	PriceNow    money.Amount          `json:"price_now"`
	OnHand      int                   `json:"on_hand"`
	Outstanding int                   `json:"outstanding"`
}

// NumberView is one number with its whole history.
type NumberView struct {
	Edition edition.Edition `json:"edition"`
	Row     NumberRow       `json:"row"`
	Label   string          `json:"label"`
	History []edition.Entry `json:"history"`
}

// OrderRow is one order in a list.
type OrderRow struct {
	order.Order
	OutletName string       `json:"outlet_name"`
	BuyerName  string       `json:"buyer_name"`
	Prints     []string     `json:"prints"` // "17/250 Heron at dusk"
	Stage      order.Stage  `json:"stage"`
	Owed       money.Amount `json:"owed"`
	Late       int          `json:"late"`
}

// Found is the answer of a search.
type Found struct {
	Text    string         `json:"text"`
	Numbers []NumberView   `json:"numbers"` // "17/250 of heron": who has it
	Orders  []OrderRow     `json:"orders"`
	Buyers  []order.Buyer  `json:"buyers"`
	Works   []edition.Work `json:"works"`
}

// None reports that nothing was found.
func (f Found) None() bool { return len(f.Numbers)+len(f.Orders)+len(f.Buyers)+len(f.Works) == 0 }

// Finding is one thing that check found wrong.
type Finding struct {
	Where string `json:"where"` // "register", "drawer", "database"
	What  string `json:"what"`
	Mend  string `json:"mend"`
}
