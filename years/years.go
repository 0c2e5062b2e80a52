// Package years is use cases: what a year came to, traced to its entries; opening balances, and the costs of orders that were moved in.
package years

import (
	"context"
	"fmt"
	"time"

	"solander/bankfile"
	"solander/calendar"
	"solander/fault"
	"solander/ledger"
	"solander/money"
	"solander/order"
	"solander/studio"
	"solander/yearly"
)

// Store is what this room asks of the store.
type Store interface {
	yearly.Store
	ledger.Store
	Order(id int64) (order.Order, error)
	BankAccount(id int64) (bankfile.Account, error)
	Reopened(account int64) error
}

// Years is one transaction as this room sees it.
type Years struct {
	*studio.Turn
	Store
}

// In returns a transaction as this room sees it.
func In(t *studio.Turn) *Years { return &Years{t, t.Tx} }

var write, read = studio.Doors(In)

// View is a year with what is closed of it.
type View struct {
	Years  []yearly.Year `json:"years"` // one a currency
	Year   int           `json:"year"`
	Closed calendar.Day  `json:"closed_until,omitzero"`
	Late   int           `json:"late"` // lines of the journal of this year that put a closed period right, 100 at most
}

// Year is what a year came to; 0 is the year of today. Faults: Invalid.
func Year(ctx context.Context, s *studio.Studio, year int) (View, error) {
	return studio.Got(ctx, s, read, func(t *Years) (View, error) {
		v := View{Year: year}
		if year == 0 {
			v.Year, _, _ = t.Today.Civil()
		}
		from, until, err := span(v.Year, 0)
		if err != nil {
			return v, err
		}
		sums, err := t.YearSums(v.Year)
		if err != nil {
			return v, err
		}
		if v.Years, err = yearly.Of(v.Year, sums, t.Set.Currency); err != nil {
			return v, err
		}
		if v.Closed, err = t.ClosedUntil(); err != nil {
			return v, err
		}
		late, err := t.Trace(yearly.Query{From: from, Until: until, Late: true, Limit: 100})
		v.Late = len(late)
		return v, err
	})
}

// span are the days of a year, or of one of its months.
func span(year, month int) (from, until calendar.Day, err error) {
	from, until = calendar.Date(year, time.January, 1), calendar.Date(year, time.December, 31)
	if year < 1970 || year > 2200 {
		return from, until, fault.Invalidf("year", "%d is not a likely year", year).ToMend("give a year like 2031")
	}
	if month < 0 || month > 12 {
		return from, until, fault.Invalidf("month", "there is no month %d", month).ToMend("give 1 to 12, or leave it out for all the year")
	}
	if month > 0 {
		from = calendar.Date(year, time.Month(month), 1)
		until = calendar.Date(year, time.Month(month)+1, 1).Add(-1)
		if month == 12 {
			until = calendar.Date(year, time.December, 31)
		}
	}
	return from, until, nil
}

// TraceIn asks for the entries of a row of a year.
type TraceIn struct {
	Year, Month int    // Month 0: the whole year
	Of          string // the key of the row; "late": what puts a closed period right
	Page        int    // from 0
	Entry       int64  // of one alone; 0: of all
}

// PageOf is how many lines a page has.
const PageOf = 100

// Traced is a page of lines.
type Traced struct {
	Name  string          `json:"name"`
	Lines []yearly.Traced `json:"lines"`
	More  bool            `json:"more"`
}

// Trace returns the lines of the journal that a row of a year is made of. Faults: Invalid, Missing.
func Trace(ctx context.Context, s *studio.Studio, in TraceIn) (Traced, error) {
	from, until, err := span(in.Year, in.Month)
	if err != nil {
		return Traced{}, err
	}
	if in.Page < 0 || in.Page > 1_000_000 {
		return Traced{}, fault.Invalidf("page", "%d is no page", in.Page).ToMend("begin at the first")
	}
	q := yearly.Query{From: from, Until: until, Skip: in.Page * PageOf, Limit: PageOf + 1, Late: in.Of == "late", Entry: in.Entry}
	out := Traced{Name: "What puts a closed period right"}
	if !q.Late {
		var atEnd bool
		if out.Name, q.Accounts, atEnd, err = yearly.Accounts(in.Of); err != nil {
			return out, err
		}
		if atEnd {
			q.From = calendar.Day{}
		}
	}
	return studio.Got(ctx, s, read, func(t *Years) (Traced, error) {
		names, err := t.AccountNames()
		if err != nil {
			return out, err
		}
		lines, err := t.Trace(q)
		if out.More = len(lines) > PageOf; out.More {
			lines = lines[:PageOf]
		}
		out.Lines = append([]yearly.Traced{}, lines...)
		for i := range out.Lines {
			out.Lines[i].Account = ledger.Named(out.Lines[i].Account, names).Name
		}
		return out, err
	})
}

// OpeningIn is what stood on an account before the program kept the books.
type OpeningIn struct {
	Account string       // key or code
	Amount  money.Amount // as it is read: what there is, what is owed by her; it may be less than nothing
	Day     calendar.Day
	Text    string
	Bank    int64 // of the account Bank: of which account at a bank it is; 0: of all that have no opening balance of their own
}

// Validate looks at the input alone. Faults: Invalid.
func (in OpeningIn) Validate() error {
	var l fault.List
	a, ok := ledger.Known(in.Account)
	l.Check(ok && (a.Class == ledger.Asset || a.Class == ledger.Liability), "account", fmt.Sprintf("%.40q is no account that things stand on", in.Account), "name one of what there is or is owed by its code: solander earnings accounts lists them")
	l.Check(in.Bank == 0 || a.Key == ledger.Bank, "bank", "only the account Bank is divided by accounts at banks", "leave the account at a bank out")
	l.Check(in.Amount.Minor != 0 && in.Amount.Minor <= money.MaxMinor && in.Amount.Minor >= -money.MaxMinor, "amount", "the amount is nothing or absurd", "give what stood there")
	l.Check(!in.Day.IsZero(), "day", "the day is missing", "give the last day before the program kept the books")
	l.Add(studio.Sane("day", in.Day))
	l.Add(order.Text("text", in.Text, 200, false))
	return l.Err()
}

// Open enters an opening balance, against the account of opening balances. In a closed period it goes to the first open day, with its own
// noted. What came to a bank up to that day is in its opening balance: lines of the bank are not entered into it again. Faults: Invalid; Missing.
func Open(ctx context.Context, s *studio.Studio, in OpeningIn) error {
	if err := in.Validate(); err != nil {
		return err
	}
	return write(ctx, s, func(t *Years) error {
		a, _ := ledger.Known(in.Account)
		amount, err := t.Cash("amount", in.Amount)
		if err != nil {
			return err
		}
		if in.Day, err = t.NotFuture("day", in.Day); err != nil {
			return err
		}
		if a.Class == ledger.Liability {
			amount = amount.Neg()
		}
		e := ledger.Event{Text: "Opening balance"}
		if in.Text != "" {
			e.Text += ", " + in.Text
		}
		e.Move(a.Key, ledger.Opening, amount, ledger.Refs{})
		part := a.Key
		if a.Key == ledger.Bank {
			if in.Bank != 0 {
				if _, err := t.BankAccount(in.Bank); err != nil {
					return fault.InField(err, "bank")
				}
			}
			if err := t.Reopened(in.Bank); err != nil {
				return err
			}
			part = ledger.OpenedBank(in.Bank)
		}
		return t.enter(e, ledger.Subject{Kind: ledger.OpeningOf}, part, in.Day)
	})
}

// CostIn is what the prints of an order cost that was moved in, of which the program knows no sheet.
type CostIn struct {
	Order int64
	Cost  money.Amount // of all its prints; nothing: what was entered is taken back
	Day   calendar.Day // no day: that of the sale
}

// Validate looks at the input alone. Faults: Invalid.
func (in CostIn) Validate() error {
	var l fault.List
	l.Check(in.Cost.Sign() >= 0 && in.Cost.Minor <= money.MaxMinor, "cost", "the cost is negative or absurd", "give what its prints cost together")
	l.Add(studio.Sane("day", in.Day))
	return l.Err()
}

// Cost enters what the prints of an order cost, shared among them by their prices to the cent, against opening balances. What was
// entered so before is taken back; a cost of nothing does that alone. Faults: Invalid, also of nothing where nothing was entered; Missing; Refused
// when no print of the order left the house, or the journal has what its sheets cost.
func Cost(ctx context.Context, s *studio.Studio, in CostIn) error {
	if err := in.Validate(); err != nil {
		return err
	}
	return write(ctx, s, func(t *Years) error {
		o, err := t.Order(in.Order)
		if err != nil {
			return err
		}
		cost, err := t.Cash("cost", in.Cost)
		if err != nil {
			return err
		}
		if in.Day.IsZero() {
			in.Day = o.Placed
		}
		if in.Day, err = t.NotFuture("day", in.Day); err != nil {
			return err
		}
		of := ledger.Subject{Kind: ledger.OpeningOf, ID: o.ID}
		had, err := t.Entered(of.Kind, []int64{o.ID})
		if err != nil {
			return err
		}
		var events []ledger.Event
		if cost.Sign() > 0 {
			lines, err := t.unknownCost(o)
			if err != nil {
				return err
			}
			events = append(events, costOf(o, lines, cost, in.Day))
		}
		entries := ledger.Difference(of, events, had, t.Today)
		if cost.IsZero() && len(entries) == 0 {
			return fault.Invalidf("cost", "the cost is nothing").At("%s", o.Mark).ToMend("give what its prints cost together")
		}
		for _, x := range entries {
			if err := t.Enter(x); err != nil {
				return err
			}
		}
		return t.Note(o.ID, "%s: its prints cost %s", o.Mark, cost)
	})
}

// unknownCost are the prints of an order that left the house and whose sheets cost nothing by the journal: those that were never in the drawer.
func (t *Years) unknownCost(o order.Order) ([]order.Line, error) {
	lines := order.Without(o.Live(), func(l order.Line) bool { return !l.Sent && o.State == order.Open })
	if len(lines) == 0 {
		return nil, fault.New(fault.Refused, "none of its prints left the house").At("%s", o.Mark).ToMend("leave it: a print costs its sheet when it leaves")
	}
	entries, err := t.OrderEntries([]int64{o.ID})
	if err != nil {
		return nil, err
	}
	known := money.Of(0, t.Set.Currency)
	for _, e := range entries {
		for _, l := range e.Lines {
			if e.Subject.Kind != ledger.OpeningOf && l.Order == o.ID && l.Account == ledger.CostOfPrints {
				known.Minor += l.Amount.Minor
			}
		}
	}
	if known.Sign() != 0 {
		return nil, fault.New(fault.Refused, "its sheets cost %s by the books already", known).At("%s", o.Mark).
			ToMend("leave it: what is entered here is for prints that were never in the drawer")
	}
	return lines, nil
}

// costOf is what prints cost, shared among them by their prices.
func costOf(o order.Order, lines []order.Line, cost money.Amount, day calendar.Day) ledger.Event {
	weights := make([]int64, len(lines))
	for i, l := range lines {
		weights[i] = max(1, l.Price.Minor)
	}
	e := ledger.Event{Part: "cost", Day: day, Text: o.Mark + ", cost of its prints as they were moved in"}
	for i, n := range money.Shares(cost.Minor, weights) {
		e.Move(ledger.CostOfPrints, ledger.Opening, money.Of(n, cost.Currency), ledger.Refs{Order: o.ID, Line: lines[i].ID, Edition: lines[i].Edition, Outlet: o.Outlet})
	}
	return e
}

func (t *Years) enter(e ledger.Event, of ledger.Subject, part string, day calendar.Day) error {
	if err := t.Enter(ledger.Entry{Day: day, Subject: of, Part: part, Text: e.Text, Lines: e.Lines}); err != nil {
		return err
	}
	return t.Note(0, "%s entered: %s", e.Text, part)
}
