// Package ledger knows double entry: the accounts of the trade, journal entries that balance in every currency, what is to be entered
// when the book no longer says what was entered, closed periods, the trial balance, and the journal as text and as rows.
//
// An amount is in minor units of its currency; more than nothing is a debit, less a credit. An entry is never changed: what is put
// right is entered anew. It knows nothing of orders and stocks (posted does), no store and no clock.
package ledger

import (
	"cmp"
	"slices"
	"time"

	"solander/calendar"
	"solander/fault"
	"solander/money"
)

// Subject is what an entry is about: "order" 42.
type Subject struct {
	Kind string `json:"kind"`
	ID   int64  `json:"id"`
}

// The kinds of subject that the program itself enters.
const (
	Order        = "order"         // its sales, payments and fees
	Parcel       = "parcel"        // its postage
	Run          = "run"           // rejected sheets that came without a good one
	Consignment  = "consignment"   // a print at a gallery, once it is sold or lost
	GalleryMoney = "gallery-money" // what a gallery paid or took off
	Claim        = "claim"         // a parcel that was damaged or lost: what it cost, what its operator pays
	FairDay      = "fair-day"      // a day at the table: its cash, its costs, what the count was off
	BankLine     = "bank-line"     // money that her bank says came or went
	OpeningOf    = "opening"       // what stood on an account before the program kept the books, or what an order that was moved in cost
	Move         = "move"          // what came into a stock, or went out of it, and with it what went along in the same parcel
)

// Refs are what a line refers to, so that lines can be grouped; 0 = nothing.
type Refs struct {
	Order   int64 `json:"order,omitempty"`
	Line    int64 `json:"line,omitempty"` // of the order
	Edition int64 `json:"edition,omitempty"`
	Outlet  int64 `json:"outlet,omitempty"`
	Run     int64 `json:"run,omitempty"` // from which the sheets came
}

// Line is one account of an entry.
type Line struct {
	Account string       `json:"account"` // its key
	Amount  money.Amount `json:"amount"`  // a debit, or less than nothing: a credit
	Refs
}

// Entry is a journal entry.
type Entry struct {
	ID      int64        `json:"id"`
	Day     calendar.Day `json:"day"`
	True    calendar.Day `json:"true_day,omitzero"` // the day on which it happened, when that lies in a closed period; no day = Day
	Subject Subject      `json:"subject"`
	Part    string       `json:"part"` // of the subject: "sale 17", "payment 5"
	Text    string       `json:"text"`
	At      time.Time    `json:"at"`
	Who     string       `json:"who"`
	Lines   []Line       `json:"lines"`
}

// Event is what a subject ought to have in the journal: one entry, if it is entered at once.
type Event struct {
	Part  string       // of the subject; no two have the same
	Day   calendar.Day // no day = that of whoever enters it
	Text  string
	Lines []Line
}

// Add adds an amount to an account of the event; nothing is left out.
func (e *Event) Add(account string, a money.Amount, r Refs) {
	if !a.IsZero() {
		e.Lines = append(e.Lines, Line{account, a, r})
	}
}

// Move adds an amount to one account and takes it from another.
func (e *Event) Move(to, from string, a money.Amount, r Refs) {
	e.Add(to, a, r)
	e.Add(from, a.Neg(), r)
}

// Balanced refuses lines whose amounts of some currency are not nothing in all. Faults: Invalid.
func Balanced(lines []Line) error {
	sums, err := Sums(lines)
	if err != nil {
		return err
	}
	for _, s := range sums {
		if !s.IsZero() {
			return fault.New(fault.Invalid, "the entry is out of balance by %s", s).ToMend("give every amount to one account and take it from another")
		}
	}
	return nil
}

// Sums adds up the amounts of lines, by currency in its order. Faults: Invalid when a sum does not fit.
func Sums(lines []Line) ([]money.Amount, error) {
	var out []money.Amount
	for _, l := range lines {
		i, found := slices.BinarySearchFunc(out, l.Amount.Currency, func(a money.Amount, c string) int { return cmp.Compare(a.Currency, c) })
		if !found {
			out = slices.Insert(out, i, money.Of(0, l.Amount.Currency))
		}
		var err error
		if out[i], err = out[i].Add(l.Amount); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// key tells lines apart that are no sum of each other.
type key struct {
	account, currency string
	refs              Refs
}

// Compact adds up lines of one account with the same references, in the order in which they came first; what is nothing then is left out.
func Compact(lines []Line) []Line {
	at := make(map[key]int, len(lines))
	out := make([]Line, 0, len(lines))
	for _, l := range lines {
		k := key{l.Account, l.Amount.Currency, l.Refs}
		i, known := at[k]
		if !known {
			at[k] = len(out)
			out = append(out, l)
			continue
		}
		out[i].Amount.Minor += l.Amount.Minor
	}
	return slices.DeleteFunc(out, func(l Line) bool { return l.Amount.IsZero() })
}

// Difference is what is still to be entered of a subject, so that what was entered comes to what its events say. What was never entered goes
// to the day of its event; what is put right goes to today, and what is no event any more is taken back today.
func Difference(of Subject, events []Event, entered []Entry, today calendar.Day) []Entry {
	had, told := map[string][]Line{}, map[string]string{}
	var parts []string // entered, in order
	for _, e := range entered {
		if _, known := had[e.Part]; !known {
			parts = append(parts, e.Part)
			told[e.Part] = e.Text
		}
		had[e.Part] = append(had[e.Part], e.Lines...)
	}
	var out []Entry
	for _, v := range events {
		was := Compact(had[v.Part])
		delete(had, v.Part)
		e := Entry{Day: v.Day, Subject: of, Part: v.Part, Text: v.Text, Lines: Compact(slices.Concat(v.Lines, turned(was)))}
		if len(e.Lines) == 0 {
			continue
		}
		if len(was) > 0 {
			e.Day, e.Text = today, e.Text+", put right"
		}
		if e.Day.IsZero() {
			e.Day = today
		}
		out = append(out, e)
	}
	for _, part := range parts {
		if lines := Compact(turned(had[part])); len(lines) > 0 {
			out = append(out, Entry{Day: today, Subject: of, Part: part, Text: told[part] + ", taken back", Lines: lines})
		}
	}
	return out
}

// turned are lines the other way round.
func turned(lines []Line) []Line {
	out := slices.Clone(lines)
	for i := range out {
		out[i].Amount = out[i].Amount.Neg()
	}
	return out
}

// Opened puts an entry on a day that is open: what happened up to the day until goes to the first day after it, with its true day noted.
func (e Entry) Opened(until calendar.Day) Entry {
	if !until.IsZero() && !e.Day.After(until) {
		e.True, e.Day = e.Day, until.Add(1)
	}
	return e
}

// Closing is that a period was closed: all days up to one.
type Closing struct {
	ID    int64        `json:"id"`
	Until calendar.Day `json:"until"`
	At    time.Time    `json:"at"`
	Who   string       `json:"who"`
}

// May refuses to close what is closed, and what is not over. Faults: Invalid.
func (c Closing) May(until, today calendar.Day) error {
	switch {
	case c.Until.IsZero():
		return fault.Invalidf("until", "the day is missing").ToMend("give the last day of the period, such as the 31st of December")
	case !c.Until.Before(today):
		return fault.Invalidf("until", "%s is not over", c.Until).ToMend("close a period once it is over")
	case !c.Until.After(until):
		return fault.Invalidf("until", "everything up to %s is closed already, for good", until).ToMend("enter what is to be put right today; it goes into the open period")
	}
	return nil
}

// Sum is what moved on an account in a month, by what it refers to.
type Sum struct {
	Month   string       `json:"month"` // "2026-04"
	Account string       `json:"account"`
	Outlet  int64        `json:"outlet,omitempty"`
	Edition int64        `json:"edition,omitempty"`
	Amount  money.Amount `json:"amount"`
}

// SumsOf are the sums of entries, in no order.
func SumsOf(entries []Entry) []Sum {
	at := map[Sum]int{}
	var out []Sum
	for _, e := range entries {
		month := Month(e.Day)
		for _, l := range e.Lines {
			k := Sum{month, l.Account, l.Outlet, l.Edition, money.Of(0, l.Amount.Currency)}
			i, known := at[k]
			if !known {
				i, at[k] = len(out), len(out)
				out = append(out, k)
			}
			out[i].Amount.Minor += l.Amount.Minor
		}
	}
	return slices.DeleteFunc(out, func(s Sum) bool { return s.Amount.IsZero() })
}

// Month is that of a day: "2026-04".
func Month(d calendar.Day) string { return d.String()[:7] }

// Store is what the journal asks of a store.
type Store interface {
	// Enter enters what no row of the book says, such as an opening balance: the entry gets its id, instant and person, and the first open
	// day when its own is closed. Faults: Invalid when it does not balance.
	Enter(e Entry) error
	// Entered returns the entries of subjects of a kind, as they were entered.
	Entered(kind string, ids []int64) ([]Entry, error)
	// OrderEntries returns the entries of which a line refers to one of some orders, as they were entered.
	OrderEntries(orders []int64) ([]Entry, error)
	// EachEntry calls f for the entries of some days, by day and id; no day = from the first, to the last.
	EachEntry(from, to calendar.Day, f func(Entry) error) error
	// Sums returns what moved on the accounts in the months from one to another ("2026-01"), both too; "" = from the first, to the last.
	Sums(from, to string) ([]Sum, error)
	SumsByOutlet(from, to string) ([]Sum, error)      // the same without editions
	SumsBetween(from, to calendar.Day) ([]Sum, error) // the same of days; slower
	ClosedUntil() (calendar.Day, error)               // no day = nothing is
	ClosePeriod(Closing) error                        // see Closing.May
	ClosedPeriods() ([]Closing, error)                // the latest first
	AccountNames() (map[string]string, error)         // those that were chosen, by key
	NameAccount(account, name string) error           // "" = its own again
}
