// Package journal is the use cases of the journal: its accounts and what they are called, the trial balance, the journal as plain text and as
// rows, and the closing of periods. What is entered follows from the book, and is entered by the store in the transaction that writes it.
package journal

import (
	"context"
	"io"
	"maps"
	"slices"

	"solander/calendar"
	"solander/fault"
	"solander/ledger"
	"solander/studio"
)

// Store is what this room asks of the store.
type Store interface{ ledger.Store }

// Journal is one transaction as this room sees it.
type Journal struct {
	*studio.Turn
	Store
}

// In returns a transaction as this room sees it.
func In(t *studio.Turn) *Journal { return &Journal{t, t.Tx} }

var write, read = studio.Doors(In)

// Span is some days, both too; no day = from the first, to the last.
type Span struct{ From, To calendar.Day }

// Validate looks at the days alone. Faults: Invalid.
func (s Span) Validate() error {
	var l fault.List
	l.Add(studio.Sane("from", s.From))
	l.Add(studio.Sane("to", s.To))
	l.Check(s.From.IsZero() || s.To.IsZero() || !s.To.Before(s.From), "to", "it ends before it begins", "exchange the two days")
	return l.Err()
}

// Accounts lists the accounts by code, under the names that she chose.
func Accounts(ctx context.Context, s *studio.Studio) ([]ledger.Account, error) {
	return studio.Got(ctx, s, read, func(t *Journal) ([]ledger.Account, error) {
		names, err := t.AccountNames()
		return ledger.Chart(names), err
	})
}

// Rename calls an account otherwise; "" is the trade's own name. Faults: Missing, Invalid, Taken.
func Rename(ctx context.Context, s *studio.Studio, account, name string) (ledger.Account, error) {
	a, ok := ledger.Known(account)
	if !ok {
		return a, fault.New(fault.Missing, "there is no account %.40q", account).In("account").ToMend("list the accounts, and name one by its code")
	}
	return studio.Got(ctx, s, write, func(t *Journal) (ledger.Account, error) {
		names, err := t.AccountNames()
		if err != nil {
			return a, err
		}
		if name == a.Name {
			name = ""
		}
		if err := ledger.MayName(a.Key, name, names); err != nil {
			return a, err
		}
		names[a.Key] = name
		return ledger.Named(a.Key, names), t.NameAccount(a.Key, name)
	})
}

// Balances is the trial balance of some days.
type Balances struct {
	Rows   []ledger.Balance `json:"accounts"`
	Totals []Total          `json:"totals"`
	Closed calendar.Day     `json:"closed_until,omitzero"`
}

// Total is what all accounts come to in a currency: as much on the one side as on the other.
type Total struct {
	Currency string `json:"currency"`
	Debit    int64  `json:"debit"`
	Credit   int64  `json:"credit"`
}

// Balance is the trial balance. Faults: Invalid.
func Balance(ctx context.Context, s *studio.Studio, days Span) (Balances, error) {
	if err := days.Validate(); err != nil {
		return Balances{}, err
	}
	return studio.Got(ctx, s, read, func(t *Journal) (out Balances, err error) {
		sums, err := t.sums(days)
		if err != nil {
			return out, err
		}
		names, err := t.AccountNames()
		if err != nil {
			return out, err
		}
		if out.Closed, err = t.ClosedUntil(); err != nil {
			return out, err
		}
		out.Rows = ledger.Trial(sums, names)
		totals := map[string]Total{}
		for _, b := range out.Rows {
			x := totals[b.Of]
			totals[b.Of] = Total{b.Of, x.Debit + b.Debit, x.Credit + b.Credit}
		}
		for _, c := range slices.Sorted(maps.Keys(totals)) {
			out.Totals = append(out.Totals, totals[c])
		}
		return out, nil
	})
}

// sums are those of whole months where the days are, else of the days.
func (t *Journal) sums(days Span) ([]ledger.Sum, error) {
	from, whole := "", true
	if !days.From.IsZero() {
		_, _, d := days.From.Civil()
		from, whole = ledger.Month(days.From), d == 1
	}
	to := ""
	if !days.To.IsZero() {
		_, _, d := days.To.Add(1).Civil()
		to, whole = ledger.Month(days.To), whole && d == 1
	}
	if whole {
		return t.Sums(from, to)
	}
	return t.SumsBetween(days.From, days.To)
}

// Write writes the journal of some days as plain text, or as CSV. Faults: Invalid.
func Write(ctx context.Context, s *studio.Studio, days Span, asCSV bool, w io.Writer) error {
	if err := days.Validate(); err != nil {
		return err
	}
	return read(ctx, s, func(t *Journal) error {
		names, err := t.AccountNames()
		if err != nil {
			return err
		}
		each := func(f func(ledger.Entry) error) error { return t.EachEntry(days.From, days.To, f) }
		if asCSV {
			return ledger.Rows(w, names, each)
		}
		sums, err := t.Sums("", "")
		if err != nil {
			return err
		}
		currencies := map[string]bool{}
		for _, x := range sums {
			currencies[x.Amount.Currency] = true
		}
		return ledger.Journal(w, t.Set.Studio, names, slices.Sorted(maps.Keys(currencies)), each)
	})
}

// Close closes all days up to one, for good: what is put right later goes to the first open day, with its true day noted.
// Faults: Invalid.
func Close(ctx context.Context, s *studio.Studio, until calendar.Day) (ledger.Closing, error) {
	if err := studio.Sane("until", until); err != nil {
		return ledger.Closing{}, err
	}
	return studio.Got(ctx, s, write, func(t *Journal) (ledger.Closing, error) {
		c := ledger.Closing{Until: until, At: t.Now, Who: t.Who}
		closed, err := t.ClosedUntil()
		if err != nil {
			return c, err
		}
		if err := c.May(closed, t.Today); err != nil {
			return c, err
		}
		return c, t.ClosePeriod(c)
	})
}

// Closed lists the closed periods, the latest first.
func Closed(ctx context.Context, s *studio.Studio) ([]ledger.Closing, error) {
	return studio.Got(ctx, s, read, func(t *Journal) ([]ledger.Closing, error) { return t.ClosedPeriods() })
}
