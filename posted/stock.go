package posted

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"solander/calendar"
	"solander/layers"
	"solander/ledger"
	"solander/money"
	"solander/supply"
)

// Print is an order line as parcels and moves refer to it.
type Print struct {
	ledger.Refs
	Mark string // of its order
}

// Postage is what a parcel ought to have in the journal: its postage, once it was paid, shared among its orders by their prints, and
// among the prints of each.
func Postage(paid money.Amount, labelled calendar.Day, prints []Print) []ledger.Event {
	e := ledger.Event{Part: "postage", Day: labelled, Text: marks(prints) + ", postage"}
	spread(&e, ledger.PostagePaid, paid, prints)
	e.Add(ledger.Postal, paid.Neg(), ledger.Refs{})
	if len(e.Lines) == 0 {
		return nil
	}
	return []ledger.Event{e}
}

// spread enters an amount for prints: first among their orders by the number of prints, of equal remainders to the lesser mark, as
// a parcel's costs are; then among the prints of each. Nobody's is entered as such.
func spread(e *ledger.Event, account string, whole money.Amount, prints []Print) {
	if len(prints) == 0 {
		e.Add(account, whole, ledger.Refs{})
		return
	}
	prints = slices.Clone(prints)
	slices.SortFunc(prints, func(a, b Print) int { return cmp.Or(strings.Compare(a.Mark, b.Mark), cmp.Compare(a.Line, b.Line)) })
	var orders [][]Print
	var weights []int64
	for _, p := range prints {
		if n := len(orders); n == 0 || orders[n-1][0].Mark != p.Mark {
			orders, weights = append(orders, nil), append(weights, 0)
		}
		n := len(orders) - 1
		orders[n], weights[n] = append(orders[n], p), weights[n]+1
	}
	for i, part := range money.Shares(whole.Minor, weights) {
		ones := make([]int64, len(orders[i]))
		for j := range ones {
			ones[j] = 1
		}
		for j, n := range money.Shares(part, ones) {
			e.Add(account, money.Of(n, whole.Currency), orders[i][j].Refs)
		}
	}
}

func marks(prints []Print) string {
	var out []string
	for _, p := range prints {
		if !slices.Contains(out, p.Mark) {
			out = append(out, p.Mark)
		}
	}
	if len(out) == 0 {
		return "a parcel"
	}
	slices.Sort(out)
	return strings.Join(out, ", ")
}

// Rejects is what a run ought to have in the journal by itself: what rejected sheets cost that came without a good one to bear it. What good
// ones cost is entered with the move by which they came.
func Rejects(r supply.Run) []ledger.Event {
	alone, day := 0, calendar.Day{}
	for _, x := range r.Receipts {
		if x.Good == 0 {
			alone, day = alone+x.Rejected, x.Day
		}
	}
	e := ledger.Event{Part: "rejected", Day: day, Text: fmt.Sprintf("run %d, rejected sheets", r.ID)}
	e.Move(ledger.Spoilt, ledger.Labs, money.Of(r.UnitCost.Minor*int64(alone), r.UnitCost.Currency), ledger.Refs{Edition: r.Edition, Run: r.ID})
	if len(e.Lines) == 0 {
		return nil
	}
	return []ledger.Event{e}
}

// Moved is a move with what its layers say.
type Moved struct {
	supply.Move
	Uses  []layers.Use // what it took of layers, or gave back
	Layer int64        // that it made; 0 = none
}

// Together is whether a move is entered with the one before it: both went along in one parcel.
func Together(a, b supply.Move) bool {
	return a.Parcel != 0 && a.Parcel == b.Parcel && a.Cause == b.Cause && a.Day == b.Day
}

// Stock is what moves that are entered together ought to have in the journal. prints are those of the parcel, or the print that left or
// came back.
func Stock(moves []Moved, prints []Print) ledger.Event {
	first := moves[0]
	e := ledger.Event{Part: "stock", Day: first.Day, Text: told(first.Move, prints)}
	for _, m := range moves {
		m.enter(&e, prints)
	}
	e.Lines = ledger.Compact(e.Lines)
	return e
}

func told(m supply.Move, prints []Print) string {
	what := map[supply.MoveKind]string{supply.Sheets: "sheets", supply.Packaging: "packaging"}[m.Kind]
	if m.Cause == "" {
		return what + ", moved"
	}
	said := strings.ReplaceAll(string(m.Cause), "-", " ")
	switch {
	case m.Run != 0:
		return fmt.Sprintf("run %d, %s %s", m.Run, what, said)
	case len(prints) > 0:
		return marks(prints) + ", cost of what was " + said
	}
	return what + " " + said
}

// stock is the account of the stock, and what it refers to.
func (m Moved) stock() (account string, r ledger.Refs) {
	if m.Kind == supply.Sheets {
		return ledger.Sheets, ledger.Refs{Edition: m.Of}
	}
	return ledger.Supplies, ledger.Refs{}
}

func (m Moved) enter(e *ledger.Event, prints []Print) {
	account, refs := m.stock()
	for _, u := range m.Uses {
		of := refs
		of.Run = u.Run
		e.Add(account, u.Cost.Neg(), of)
		m.against(e, u, of, prints)
	}
	switch {
	case m.Layer != 0:
		refs.Run = m.Run
		e.Move(account, m.from(), m.Cost, refs)
	case m.Cost.Sign() < 0: // it did not come after all: what its layers cost is owed no more, and the rest was another's
		refs.Run = m.Run
		e.Move(m.from(), ledger.Counted, m.Cost.Neg(), refs)
	}
}

// from is where what comes in comes from.
func (m Moved) from() string {
	switch m.Cause {
	case supply.Received, supply.NotReceived, supply.Restocked, supply.NotRestock:
		return ledger.Labs
	case supply.FirstCount, supply.BroughtIn, supply.BroughtOut:
		return ledger.Opening
	}
	return ledger.Counted
}

// against enters where what a layer gave went, or from where it came back.
func (m Moved) against(e *ledger.Event, u layers.Use, refs ledger.Refs, prints []Print) {
	switch m.Cause {
	case supply.HandedOver, supply.NotHanded, supply.CameBack:
		if m.Kind == supply.Packaging {
			spread(e, ledger.PackagingUsed, u.Cost, prints)
			return
		}
		for _, p := range prints {
			if p.Line == m.Line || p.Edition == m.Of && m.Line == 0 {
				of := p.Refs
				of.Run = u.Run
				e.Add(ledger.CostOfPrints, u.Cost, of)
				return
			}
		}
		e.Add(ledger.CostOfPrints, u.Cost, refs)
	case supply.Spoiled, supply.Withdrawn:
		e.Add(ledger.Spoilt, u.Cost, refs)
	case supply.Kept, supply.Unkept:
		e.Add(ledger.KeptPrints, u.Cost, refs)
	case supply.AtGallery, supply.FromGallery:
		e.Add(ledger.Consigned, u.Cost, refs)
	case supply.BroughtOut:
		e.Add(ledger.Opening, u.Cost, refs)
	default:
		e.Add(ledger.Counted, u.Cost, refs)
	}
}

// Returns reports whether a move brings back what another took: of which cause that one was. It gives back to the layers of that.
func Returns(c supply.Cause) (of supply.Cause, ok bool) {
	switch c {
	case supply.NotHanded, supply.CameBack:
		return supply.HandedOver, true
	case supply.Unkept:
		return supply.Kept, true
	case supply.FromGallery:
		return supply.AtGallery, true
	}
	return "", false
}

// Withdraws reports whether a move says that something did not come in after all.
func Withdraws(c supply.Cause) bool {
	return c == supply.NotReceived || c == supply.NotRestock || c == supply.BroughtOut
}
