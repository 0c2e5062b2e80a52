// Package leaving knows how parcels leave the house: the ways that the studio has, what each takes, what a trip costs in money and
// minutes, and which of them a day's parcels go by. Lengths are nanometres, masses nanograms, money minor units of the studio's currency.
// It knows no operator's rules: what a way takes is what the studio says of it. It plans no parcel.
package leaving

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"solander/fault"
	"solander/measure"
	"solander/order"
)

// Kind is what a way of leaving is.
type Kind string

// The kinds. A mailbox and a bin have an opening; to a counter and a bin somebody walks; a pickup has a fee, and comes for so many parcels
// or more.
const (
	Mailbox Kind = "mailbox"
	Pickup  Kind = "pickup"
	Counter Kind = "counter"
	Bin     Kind = "bin"
)

// Kinds are all kinds.
func Kinds() []Kind { return []Kind{Mailbox, Pickup, Counter, Bin} }

// Words say a kind.
func (k Kind) Words() string {
	return map[Kind]string{Mailbox: "a mailbox of your own", Pickup: "a pickup at the door", Counter: "a counter", Bin: "a drop bin"}[k]
}

// Way is one way by which parcels leave.
type Way struct {
	ID       string       `json:"id"` // stays when the name changes
	Name     string       `json:"name"`
	Kind     Kind         `json:"kind"`
	Opening  *Opening     `json:"opening,omitempty"`  // what a parcel must pass; none = any size
	Heaviest measure.Mass `json:"heaviest,omitempty"` // of a parcel; 0 = any
	Worth    int64        `json:"worth,omitempty"`    // of a parcel, at most; 0 = any
	Services []string     `json:"services,omitempty"` // that it takes, by the keys of price cards; none = all
	Least    int          `json:"least,omitempty"`    // parcels for which it is there; 0 = one
	Most     int          `json:"most,omitempty"`     // parcels that it takes in a day; 0 = any number
	Fee      int64        `json:"fee,omitempty"`      // of a trip
	Minutes  int          `json:"minutes,omitempty"`  // of a trip, there and back
	CutOff   string       `json:"cut_off,omitempty"`  // "10:30", by the studio's clock; "" = any time of the day
	Days     []string     `json:"days,omitempty"`     // of the week, "monday"; none = every day
}

// Opening is what a parcel must pass through, and how deep it may reach.
type Opening struct {
	Length measure.Length `json:"length"`
	Width  measure.Length `json:"width"`
	Depth  measure.Length `json:"depth,omitempty"` // 0 = no end to it
}

// Bounds of what a way may say, so that sums stay exact.
const (
	MostWays    = 10 // every set of them is looked at
	mostParcels = 1000
	mostMinutes = 24 * 60
	mostMoney   = 100_000_000_000
	mostWeight  = 1000 * measure.Kilogram
	mostSide    = 100 * measure.Metre
)

// Weekdays are the days of the week as a way names them, from Monday on.
func Weekdays() []string {
	var out []string
	for i := range 7 {
		out = append(out, weekday(time.Weekday((i+1)%7)))
	}
	return out
}

func weekday(d time.Weekday) string { return strings.ToLower(d.String()) }

// Validate looks at the ways of a studio; at is put before the field's name. Faults: Invalid, one a field.
func Validate(at string, ways []Way) error {
	var l fault.List
	l.Check(len(ways) <= MostWays, at, "there are more ways of leaving than can be compared", fault.Count(MostWays, "way")+" at most; take one out")
	for i, w := range ways {
		field := fmt.Sprintf("%s[%d].", at, i)
		l.Add(w.validate(field))
		l.Check(!slices.ContainsFunc(ways[:i], func(o Way) bool { return o.ID == w.ID }), field+"id", "two ways have the id "+w.ID, "give each an id of its own")
		l.Check(!slices.ContainsFunc(ways[:i], func(o Way) bool { return o.Name == w.Name }), field+"name", "two ways have the name "+w.Name, "give each a name of its own")
	}
	return l.Err()
}

func (w Way) validate(at string) error {
	var l fault.List
	l.Add(order.Text(at+"id", w.ID, 40, true))
	l.Add(order.Text(at+"name", w.Name, 60, true))
	l.Check(slices.Contains(Kinds(), w.Kind), at+"kind", "is no way of leaving", "use mailbox, pickup, counter or bin")
	l.Add(w.validateOpening(at))
	within := func(field string, n, most int64, what, mend string) {
		l.Check(n >= 0 && n <= most, at+field, what, mend)
	}
	within("heaviest", int64(w.Heaviest), int64(mostWeight), "no parcel weighs that", "write 0 to 1000 kg; 0 takes any weight")
	within("worth", w.Worth, mostMoney, "is no worth of a parcel", "write 0 or more; 0 takes any worth")
	within("least", int64(w.Least), mostParcels, "is no number of parcels", "write 0 to 1000")
	within("most", int64(w.Most), mostParcels, "is no number of parcels", "write 0 to 1000; 0 takes any number")
	within("fee", w.Fee, mostMoney, "is no fee", "write 0 or more")
	within("minutes", int64(w.Minutes), mostMinutes, "is no time for a way", "write 0 to 1440 minutes")
	l.Check(w.Most == 0 || w.Least <= w.Most, at+"least", "it comes only for more parcels than it takes", "write at most so many as it takes")
	l.Add(w.validateTimes(at))
	for i, s := range w.Services {
		l.Add(order.Text(fmt.Sprintf("%sservices[%d]", at, i), s, 80, true))
	}
	return l.Err()
}

func (w Way) validateOpening(at string) error {
	var l fault.List
	if w.Opening == nil {
		l.Check(w.Kind != Mailbox, at+"opening.length", "a mailbox has an opening", "measure it: what is larger does not go through")
		return l.Err()
	}
	side := func(field string, n measure.Length, least measure.Length) {
		l.Check(n >= least && n <= mostSide, at+"opening."+field, "is no side of an opening", "measure it inside, from edge to edge")
	}
	side("length", w.Opening.Length, 1)
	side("width", w.Opening.Width, 1)
	side("depth", w.Opening.Depth, 0)
	return l.Err()
}

func (w Way) validateTimes(at string) error {
	var l fault.List
	_, err := time.Parse("15:04", w.CutOff)
	l.Check(w.CutOff == "" || err == nil && len(w.CutOff) == len("15:04"), at+"cut_off", "is no time of the day", "write it like 10:30 or 16:00")
	for i, d := range w.Days {
		field := fmt.Sprintf("%sdays[%d]", at, i)
		l.Check(slices.Contains(Weekdays(), d), field, "is no day of the week", "use monday to sunday")
		l.Check(!slices.Contains(w.Days[:i], d), field, "the day stands there twice", "leave one out")
	}
	return l.Err()
}

// Trip is what one trip costs at a wage of a minute.
func (w Way) Trip(wage int64) int64 { return w.Fee + int64(w.Minutes)*wage }
