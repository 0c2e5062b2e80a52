// Package bed is what the rules of the store's contract stand on: a small invented studio in a store, and ways to write,
// read and compare that fail the test when they fail.
package bed

import (
	"context"
	"testing"

	"github.com/google/go-cmp/cmp"

	"solander/calendar"
	"solander/charging"
	"solander/edition"
	"solander/fault"
	"solander/measure"
	"solander/money"
	"solander/order"
	"solander/studio"
)

// House is a small invented studio in a store.
type House struct {
	Outlet, Buyer, Work int64
}

// Today is the day on which all happens.
var Today = calendar.Date(2031, 3, 4)

// USD is an amount in cents.
func USD(minor int64) money.Amount { return money.Of(minor, "USD") }

// Write writes, and fails the test when that fails.
func Write(t *testing.T, s studio.Store, f func(studio.Tx) error) {
	t.Helper()
	if err := s.Write(context.Background(), f); err != nil {
		t.Fatalf("write: %v", err)
	}
}

// Read reads, and fails the test when that fails.
func Read(t *testing.T, s studio.Store, f func(studio.Tx) error) {
	t.Helper()
	if err := s.Read(context.Background(), f); err != nil {
		t.Fatalf("read: %v", err)
	}
}

// Refused writes and expects a fault of the code.
func Refused(t *testing.T, s studio.Store, code fault.Code, f func(studio.Tx) error) {
	t.Helper()
	if err := s.Write(context.Background(), f); !fault.Is(err, code) {
		t.Fatalf("got %v, want a fault %q", err, code)
	}
}

// Same compares, and says what differs.
func Same(t *testing.T, what string, want, got any) {
	t.Helper()
	if diff := cmp.Diff(want, got, cmp.Comparer(func(a, b calendar.Day) bool { return a == b })); diff != "" {
		t.Errorf("%s (-want +got):\n%s", what, diff)
	}
}

// Furnished adds an outlet, a buyer and a work.
func Furnished(t *testing.T, s studio.Store) House {
	t.Helper()
	var h House
	Write(t, s, func(tx studio.Tx) (err error) {
		h, err = Furnish(tx)
		return err
	})
	return h
}

// Furnish adds an outlet, a buyer and a work.
func Furnish(tx studio.Tx) (h House, err error) {
	if err = tx.SaveSettings(studio.Settings{Studio: "Quay Studio", Currency: "USD", MarkPrefix: "S"}); err != nil {
		return h, err
	}
	if h.Outlet, err = tx.SaveOutlet(order.Outlet{Name: "Spring fair", Fees: charging.Simple(0, USD(30)), PromiseDays: 5}); err != nil {
		return h, err
	}
	if h.Buyer, err = tx.SaveBuyer(order.Buyer{Name: "Mara Lindqvist", Email: "mara@example.org"}); err != nil {
		return h, err
	}
	h.Work, err = tx.SaveWork(edition.Work{Title: "Heron at dusk", Year: 2029})
	return h, err
}

// Print is an edition of the house's work with so many numbers and two artist's proofs.
func (h House) Print(limit int) edition.Edition {
	e := edition.Edition{
		Work: h.Work, Title: "Heron at dusk", Width: 12 * measure.Inch, Height: 16 * measure.Inch, Paper: "Cotton rag 310",
		Grammage: 310 * measure.GSM, Caliper: 500_000, Grade: "fine", Technique: "pigment print", Limit: limit,
		Proofs: edition.Proofs{AP: 2}, TightestRoll: 3 * measure.Inch, Price: USD(12_000), PrintCost: USD(1_450), Declared: Today,
	}
	if limit == 0 {
		e.Proofs = edition.Proofs{}
	}
	return e
}

// Declare adds an edition of so many numbers.
func (h House) Declare(t *testing.T, s studio.Store, limit int) int64 {
	t.Helper()
	var id int64
	Write(t, s, func(tx studio.Tx) (err error) {
		id, err = tx.Declare(h.Print(limit))
		return err
	})
	return id
}

// Sale is an order of one line for each edition named, without numbers.
func (h House) Sale(eds ...int64) order.Order {
	o := order.Order{
		Outlet: h.Outlet, Buyer: h.Buyer, Placed: Today, Promised: Today.Add(7), State: order.Open,
		Postage: USD(0), Tax: USD(0), Fee: USD(0),
		ShipTo: order.Address{Name: "Mara Lindqvist", Line1: "4 Alder Row", City: "Roanoke", Region: "VA", Postcode: "24011", Country: "US"},
	}
	for _, ed := range eds {
		o.Lines = append(o.Lines, order.Line{Edition: ed, Price: USD(12_000)})
	}
	return o
}

// Add adds an order.
func Add(t *testing.T, s studio.Store, o order.Order) order.Order {
	t.Helper()
	Write(t, s, func(tx studio.Tx) (err error) {
		o, err = tx.AddOrder(o)
		return err
	})
	return o
}

// Take adds an order of one line and gives it the lowest number of an edition: what a sale does.
func (h House) Take(tx studio.Tx, ed int64) (edition.Entry, error) {
	o, err := tx.AddOrder(h.Sale(ed))
	if err != nil {
		return edition.Entry{}, err
	}
	n, err := tx.Lowest(ed, edition.Numbered)
	if err != nil {
		return edition.Entry{}, err
	}
	line := o.Lines[0]
	line.Number = n
	if err := tx.SaveLine(line); err != nil {
		return edition.Entry{}, err
	}
	return Step(tx, ed, n, edition.Promise, line.ID, o.Mark)
}

// Step makes a number take a step by the rules.
func Step(tx studio.Tx, ed int64, n edition.Number, step edition.Step, line int64, mark string) (edition.Entry, error) {
	now, err := tx.Standing(ed, n)
	if err != nil {
		return edition.Entry{}, err
	}
	after, err := now.After(step, line, "a reason")
	if err != nil {
		return edition.Entry{}, err
	}
	return tx.Append(edition.Entry{
		Edition: ed, Number: n, Turn: after.Turn, Step: step, After: after, Order: mark, Day: Today, Who: "Ines", Note: "a reason",
	})
}

// Num is a numbered impression.
func Num(n int) edition.Number { return edition.Number{Kind: edition.Numbered, N: n} }
