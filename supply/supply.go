// Package supply knows what lies in the drawer and on the shelf, what was ordered from the lab, and
// which open order lines have a sheet.
//
// The drawer counts every printed sheet in it, signed or not; a sheet leaves the count when it is handed
// over, spoilt, withdrawn, put into the artist's archive, or taken out by a count. The shelf counts packaging.
package supply

import (
	"cmp"
	"fmt"
	"sort"
	"strings"
	"time"
	"unicode/utf8"

	"solander/calendar"
	"solander/edition"
	"solander/fault"
	"solander/measure"
	"solander/money"
)

// Run is an order of sheets of one edition from a print lab, received in one or more parts.
type Run struct {
	ID       int64        `json:"id"`
	Edition  int64        `json:"edition"`
	Lab      string       `json:"lab"`
	Ordered  calendar.Day `json:"ordered"`
	Expected calendar.Day `json:"expected"`
	Quantity int          `json:"quantity"`
	UnitCost money.Amount `json:"unit_cost"`
	Note     string       `json:"note,omitempty"`
	Closed   bool         `json:"closed"` // nothing more will come
	Receipts []Receipt    `json:"receipts"`
}

// Receipt is one part of a run that came in: Good sheets for the drawer, Rejected ones that did not
// pass inspection.
type Receipt struct {
	ID       int64        `json:"id"`
	Run      int64        `json:"run"`
	Day      calendar.Day `json:"day"`
	Good     int          `json:"good"`
	Rejected int          `json:"rejected"`
	Note     string       `json:"note,omitempty"`
}

// Bears is what a good sheet of it costs when one of the run does unit: the rejected ones lie on the good ones, to the minor unit, so that some may
// bear one less than others. Nothing, when none is good.
func (r Receipt) Bears(unit money.Amount) (least, most money.Amount) {
	if r.Good == 0 {
		return money.Of(0, unit.Currency), money.Of(0, unit.Currency)
	}
	all, good := unit.Minor*int64(r.Good+r.Rejected), int64(r.Good)
	return money.Of(all/good, unit.Currency), money.Of((all+good-1)/good, unit.Currency)
}

// MaxSheets bounds a run and a count; beyond lies a typing error.
const MaxSheets = 100_000

// Good is how many sheets came in and passed; Rejected how many did not.
func (r Run) Good() int { return r.sum(func(x Receipt) int { return x.Good }) }

// Rejected is how many sheets came in and did not pass inspection.
func (r Run) Rejected() int { return r.sum(func(x Receipt) int { return x.Rejected }) }

func (r Run) sum(f func(Receipt) int) int {
	n := 0
	for _, x := range r.Receipts {
		n += f(x)
	}
	return n
}

// Outstanding is how many sheets the lab still owes; rejected ones count as delivered.
func (r Run) Outstanding() int {
	if r.Closed {
		return 0
	}
	return max(0, r.Quantity-r.Good()-r.Rejected())
}

// Validate looks at a run alone.
func (r Run) Validate() error {
	var l fault.List
	l.Check(r.Edition > 0, "edition", "the edition is missing", "choose what the lab is to print")
	l.Check(strings.TrimSpace(r.Lab) != "" && plain(r.Lab, 200), "lab", "the lab is missing, or its name is too long or not one line of text", "say who prints it")
	l.Check(!r.Ordered.IsZero(), "ordered", "the day of the order is missing", "write it like 2026-04-14")
	l.Check(r.Expected.IsZero() || !r.Expected.Before(r.Ordered), "expected", "it is expected before it was ordered", "look at both days")
	l.Check(r.Quantity >= 1 && r.Quantity <= MaxSheets, "quantity", fmt.Sprintf("%d sheets is not a possible run", r.Quantity), fmt.Sprintf("use 1 to %d", MaxSheets))
	l.Check(r.UnitCost.Sign() >= 0 && r.UnitCost.Minor <= money.MaxMinor, "unit_cost", "the unit cost is negative or absurd", "give the price of one sheet")
	l.Check(plain(strings.NewReplacer("\n", " ", "\r", " ", "\t", " ").Replace(r.Note), 4000), "note", "the note is too long or not plain text", "shorten it, or type it again")
	return l.Err()
}

// plain reports one line of readable UTF-8 of at most so many characters.
func plain(s string, most int) bool {
	return utf8.ValidString(s) && utf8.RuneCountInString(s) <= most && !strings.ContainsFunc(s, edition.Unprintable)
}

// Accepts checks a receipt against its run. Faults: Invalid, Refused when more comes than was ordered.
func (r Run) Accepts(x Receipt) error {
	var l fault.List
	l.Check(x.Good >= 0 && x.Good <= MaxSheets, "good", "the number of good sheets is negative or absurd", "count them")
	l.Check(x.Rejected >= 0 && x.Rejected <= MaxSheets, "rejected", "the number of rejected sheets is negative or absurd", "use 0 for none")
	l.Check(x.Good+x.Rejected > 0, "good", "nothing came in", "give good or rejected sheets")
	l.Check(!x.Day.IsZero(), "day", "the day it came in is missing", "write it like 2026-04-14")
	l.Check(x.Day.IsZero() || !x.Day.Before(r.Ordered), "day", "it came in before it was ordered", "look at the day")
	if err := l.Err(); err != nil {
		return err
	}
	if r.Closed {
		return fault.New(fault.Refused, "this run is closed").At("run %d", r.ID).ToMend("count the drawer instead")
	}
	if x.Good+x.Rejected > r.Outstanding() {
		return fault.Invalidf("good", "%d sheets came in, only %d are outstanding", x.Good+x.Rejected, r.Outstanding()).
			ToMend("receive %d at most and count the extra sheets into the drawer", r.Outstanding())
	}
	return nil
}

// Move is one change of a stock: sheets of an edition or pieces of a shelf item. The stock is the sum
// of its moves; moves are only ever added.
type Move struct {
	ID     int64        `json:"id"`
	Kind   MoveKind     `json:"kind"` // which stock
	Of     int64        `json:"of"`   // edition or shelf item
	Delta  int          `json:"delta"`
	Reason string       `json:"reason"` // "run 4 received", "S-1042 handed over", "counted"
	Day    calendar.Day `json:"day"`
	At     time.Time    `json:"at"`
	Who    string       `json:"who"`
	Why
}

// MoveKind tells the two stocks apart.
type MoveKind string

// The stocks.
const (
	Sheets    MoveKind = "sheets"
	Packaging MoveKind = "packaging"
)

// Claim is an open order line that needs a sheet.
type Claim struct {
	Line     int64
	Edition  int64
	Promised calendar.Day
	Placed   calendar.Day
	Signed   bool // it has its sheet already
}

// Allotment says which claims have a sheet and which wait.
type Allotment struct {
	Has   map[int64]bool // by line
	Waits []Claim        // in the order in which sheets will be given
}

// Allot gives the sheets in the drawer to the claims: signed lines have theirs; then by promise, day of
// the sale and line, those without a promise last. onHand is by edition.
func Allot(onHand map[int64]int, claims []Claim) Allotment {
	left := make(map[int64]int, len(onHand))
	for e, n := range onHand {
		left[e] = n
	}
	sorted := append([]Claim(nil), claims...)
	sort.Slice(sorted, func(i, j int) bool { return earlier(sorted[i], sorted[j]) })
	a := Allotment{Has: make(map[int64]bool, len(claims))}
	for _, c := range sorted {
		if c.Signed || left[c.Edition] > 0 {
			left[c.Edition]--
			a.Has[c.Line] = true
			continue
		}
		a.Waits = append(a.Waits, c)
	}
	return a
}

func earlier(a, b Claim) bool {
	switch {
	case a.Signed != b.Signed:
		return a.Signed
	case a.Promised != b.Promised:
		return sooner(a.Promised, b.Promised)
	case a.Placed != b.Placed:
		return a.Placed.Before(b.Placed)
	}
	return a.Line < b.Line
}

// sooner orders days, no day last.
func sooner(a, b calendar.Day) bool { return b.IsZero() || !a.IsZero() && a.Before(b) }

// Coming says when a waiting claim will have its sheet: the run that will serve it.
type Coming struct {
	Run      int64        `json:"run"`
	Since    calendar.Day `json:"since"` // the day the run was ordered
	Expected calendar.Day `json:"expected"`
}

// Serve gives the outstanding sheets of runs, the earliest expected first and those without an expected
// day last, to the waiting claims in their order. A claim that no run serves is absent from the answer.
func Serve(waits []Claim, runs []Run) map[int64]Coming {
	open := append([]Run(nil), runs...)
	sort.SliceStable(open, func(i, j int) bool {
		a, b := open[i].Expected, open[j].Expected
		if a != b {
			return sooner(a, b)
		}
		return open[i].ID < open[j].ID
	})
	left := make(map[int64]int, len(open))
	for _, r := range open {
		left[r.ID] = r.Outstanding()
	}
	out := make(map[int64]Coming)
	for _, c := range waits {
		for _, r := range open {
			if r.Edition == c.Edition && left[r.ID] > 0 {
				left[r.ID]--
				out[c.Line] = Coming{r.ID, r.Ordered, r.Expected}
				break
			}
		}
	}
	return out
}

// Paper is a paper that the studio prints on, offered when an edition is declared.
type Paper struct {
	Name         string           `json:"name"`
	Grammage     measure.Grammage `json:"grammage_mg_m2"`
	Caliper      measure.Length   `json:"caliper_nm"`
	TightestRoll measure.Length   `json:"tightest_roll_nm"`
}

// Fill fills in what an edition on this paper leaves open: its name, grammage, thickness and tightest roll.
func (p Paper) Fill(e *edition.Edition) {
	e.Paper, e.Grammage = cmp.Or(e.Paper, p.Name), cmp.Or(e.Grammage, p.Grammage)
	e.Caliper, e.TightestRoll = cmp.Or(e.Caliper, p.Caliper), cmp.Or(e.TightestRoll, p.TightestRoll)
}
