package papers

import (
	"fmt"
	"slices"

	"solander/bench"
	"solander/fault"
)

// BenchSheet is the day's list, with a box to tick for each thing to do.
type BenchSheet struct {
	Head
	Summary  string // "25 open orders, 3 late; next promise Tue 14 Apr"
	Sections []Section
	Warnings []string
}

// Title names the paper.
func (BenchSheet) Title() string { return "Bench sheet" }

// Section is one kind of work.
type Section struct {
	Name string
	Rows []Row
}

// Row is one thing to do.
type Row struct {
	Mark    string
	Who     string // buyer and outlet
	What    string
	Why     string
	Timing  string
	Detail  []string
	Blocked string // why it cannot be done yet; then it has no box to tick
	Late    bool
}

// sections names the groups of the bench.
var sections = map[bench.Group]string{
	bench.ChaseMoney:  "Money to chase",
	bench.AskAddress:  "Addresses to ask for",
	bench.OrderSheets: "Sheets to order",
	bench.SignPrints:  "To sign",
	bench.PackOrders:  "To pack",
	bench.LabelParcel: "To label",
	bench.HandOver:    "To hand over",
	bench.Claims:      "Claims for parcels",
	bench.Waits:       "Waits, as you said",
	bench.Restock:     "To restock",
}

// Bench returns the bench sheet of a day. Groups with nothing to do are left out.
func Bench(h Head, l bench.List) BenchSheet {
	s := BenchSheet{Head: h, Summary: summary(l)}
	for _, g := range bench.Groups() {
		sec := Section{Name: sections[g]}
		for _, t := range l.Groups[g] {
			sec.Rows = append(sec.Rows, benchRow(t))
			s.Warnings = append(s.Warnings, t.Warnings...)
		}
		if len(sec.Rows) > 0 {
			s.Sections = append(s.Sections, sec)
		}
	}
	s.Warnings = Once(s.Warnings)
	return s
}

func summary(l bench.List) string {
	text := "no open order"
	if l.Open > 0 {
		text = fault.Count(l.Open, "open order")
	}
	if l.Late > 0 {
		text += fmt.Sprintf(", %d late", l.Late)
	}
	if !l.Next.IsZero() {
		text += "; next promise " + l.Next.Short()
	}
	return text
}

func benchRow(t bench.Task) Row {
	r := Row{Mark: t.Mark, Who: t.Buyer, What: t.What, Why: t.Why, Timing: t.Timing, Detail: slices.Clone(t.Detail), Blocked: t.Blocked, Late: t.Late > 0}
	for _, doubt := range t.Doubts {
		r.Detail = append(r.Detail, "look at the address: "+doubt)
	}
	if t.Outlet != "" && t.Group == bench.ChaseMoney {
		r.Who += ", " + t.Outlet
	}
	if t.Quantity > 0 {
		r.What = fmt.Sprintf("%d × %s", t.Quantity, t.What)
	}
	if t.Service != "" && t.Group != bench.PackOrders { // the plan of a parcel to pack names it already
		r.What += ", by " + t.Service
	}
	return r
}
