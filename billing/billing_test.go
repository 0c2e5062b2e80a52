package billing_test

import (
	"context"
	"errors"
	"testing"

	"solander/billing"
	"solander/book"
	"solander/calendar"
	"solander/fault"
	"solander/internal/bed"
	"solander/internal/engines"
	"solander/invoice"
	"solander/journal"
	"solander/order"
	"solander/studio"
)

var errPulled = errors.New("the plug was pulled")

// pulled is a store in which a write is done, and then fails, so that nothing of it is kept.
type pulled struct{ studio.Store }

func (p pulled) Write(ctx context.Context, f func(studio.Tx) error) error {
	return p.Store.Write(ctx, func(tx studio.Tx) error {
		if err := f(tx); err != nil {
			return err
		}
		return errPulled
	})
}

func write(b *bed.Bed, k invoice.Kind, order, number int64) invoice.Bill {
	b.Helper()
	x, err := billing.Write(b.Ctx, b.Studio, billing.WriteIn{Kind: k, Order: order, Number: number})
	b.Must(err)
	return x
}

// A series has no gap: a paper whose transaction failed, or that was refused, leaves its number to the next; each kind counts by itself, from the
// number that was typed first. Source: EU Directive 2006/112/EC, Article 226 (2), "a sequential number … which uniquely identifies the invoice"; that
// none is left out is what tax offices ask for (common practice, no source).
func TestNumbersWithoutGaps(t *testing.T) {
	engines.Both(t, func(t *testing.T, b *bed.Bed) {
		sold := func() int64 { return b.Paid(b.Card.ID).ID }
		first := write(b, invoice.Invoice, sold(), 40)
		if first.Label() != "I-40" {
			t.Errorf("the first is %s", first.Label())
		}
		next := sold()
		kept := b.Store
		b.Store = pulled{kept}
		for range 3 {
			if _, err := billing.Write(b.Ctx, b.Studio, billing.WriteIn{Kind: invoice.Invoice, Order: next}); !errors.Is(err, errPulled) {
				t.Fatalf("the plug was not pulled: %v", err)
			}
		}
		b.Store = kept
		_, err := billing.Write(b.Ctx, b.Studio, billing.WriteIn{Kind: invoice.Invoice, Order: first.Order})
		b.Refused(err, fault.Refused, "", "I-40 stands for it")
		if x := write(b, invoice.Invoice, next, 0); x.Label() != "I-41" {
			t.Errorf("after three that failed and one that was refused comes %s", x.Label())
		}
		third := sold()
		_, err = billing.Write(b.Ctx, b.Studio, billing.WriteIn{Kind: invoice.Invoice, Order: third, Number: 41})
		b.Refused(err, fault.Taken, "number", "I-41 was given already")
		_, err = billing.Write(b.Ctx, b.Studio, billing.WriteIn{Kind: invoice.Invoice, Order: third, Number: 39})
		b.Refused(err, fault.Taken, "number", "before the first of the series")
		_, err = billing.Write(b.Ctx, b.Studio, billing.WriteIn{Kind: invoice.Invoice, Order: third, Number: 43})
		b.Refused(err, fault.Refused, "number", "would leave a gap")
		if x := write(b, invoice.Invoice, third, 42); x.Label() != "I-42" {
			t.Errorf("typed and next is %s", x.Label())
		}
		if x := write(b, invoice.Receipt, third, 0); x.Label() != "R-1" {
			t.Errorf("the first receipt is %s", x.Label())
		}
		_, err = billing.Write(b.Ctx, b.Studio, billing.WriteIn{Kind: invoice.Receipt, Order: third})
		b.Refused(err, fault.Refused, "", "without a receipt")
		all, err := billing.List(b.Ctx, b.Studio, invoice.Query{Kind: invoice.Invoice})
		b.Must(err)
		for i, x := range all.Bills {
			if want := int64(42 - i); x.Number != want {
				t.Errorf("%s stands where I-%d ought to", x.Label(), want)
			}
		}
		if len(all.Bills) != 3 {
			t.Errorf("%d invoices stand, want 3", len(all.Bills))
		}
	})
}

// A credit note takes off what it names and no more; then a second invoice may be written. The paper that it corrects stays as it was given out, and no
// money moves by it. By hand: 12.00 and 5.00 postage are 17.00, of which 6.00 and 11.00 are taken off.
func TestACreditNoteCorrects(t *testing.T) {
	engines.Both(t, func(t *testing.T, b *bed.Bed) {
		o := b.Paid(b.Card.ID)
		was := write(b, invoice.Invoice, o.ID, 0)
		if was.Total != bed.USD(17_00) {
			t.Fatalf("the invoice is over %s", was.Total)
		}
		before, err := journal.Balance(b.Ctx, b.Studio, journal.Span{})
		b.Must(err)
		correct := func(cents int64) (invoice.Bill, error) {
			return billing.Correct(b.Ctx, b.Studio, billing.CorrectIn{Bill: was.ID, Amount: bed.USD(cents), Reason: "a crease in the margin"})
		}
		_, err = correct(17_01)
		b.Refused(err, fault.Refused, "amount", "17.00")
		_, err = correct(-1)
		b.Refused(err, fault.Invalid, "amount", "")
		_, err = billing.Correct(b.Ctx, b.Studio, billing.CorrectIn{Bill: was.ID})
		b.Refused(err, fault.Invalid, "reason", "")
		part, err := correct(6_00)
		b.Must(err)
		if part.Label() != "C-1" || part.Total != bed.USD(6_00) || part.Corrects != was.ID {
			t.Errorf("the credit note is %s over %s of paper %d", part.Label(), part.Total, part.Corrects)
		}
		_, err = billing.Write(b.Ctx, b.Studio, billing.WriteIn{Kind: invoice.Invoice, Order: o.ID})
		b.Refused(err, fault.Refused, "", "stands for it")
		rest, err := correct(0)
		b.Must(err)
		if rest.Total != bed.USD(11_00) {
			t.Errorf("the rest is %s", rest.Total)
		}
		_, err = correct(0)
		b.Refused(err, fault.Refused, "amount", "taken off already")
		_, err = billing.Correct(b.Ctx, b.Studio, billing.CorrectIn{Bill: rest.ID, Reason: "of a note"})
		b.Refused(err, fault.Refused, "bill", "not corrected by another")
		v, err := billing.Numbered(b.Ctx, b.Studio, "i-1")
		b.Must(err)
		if v.Left.Sign() != 0 || len(v.Notes) != 2 || v.Notes[0].ID != part.ID || v.Total != was.Total {
			t.Errorf("left of it are %s after %d notes; it is over %s", v.Left, len(v.Notes), v.Total)
		}
		if x := write(b, invoice.Invoice, o.ID, 0); x.Label() != "I-2" {
			t.Errorf("the second invoice is %s", x.Label())
		}
		after, err := journal.Balance(b.Ctx, b.Studio, journal.Span{})
		b.Must(err)
		for i, r := range before.Rows {
			if after.Rows[i] != r {
				t.Errorf("by papers alone %s moved", r.Name)
			}
		}
		b.Sound()
	})
}

// The invoice of an order of which all was paid back says what was paid, and back, and that nothing was paid in the end.
func TestTheInvoiceOfARefundedOrder(t *testing.T) {
	engines.Both(t, func(t *testing.T, b *bed.Bed) {
		o := b.Paid(b.Card.ID)
		b.Must(book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: o.ID, Kind: order.Refund, Amount: bed.USD(17_00)}))
		x := write(b, invoice.Invoice, o.ID, 0)
		sum := int64(0)
		for _, p := range x.Body.Paid {
			sum += p.Amount.Minor
		}
		if x.Total != bed.USD(17_00) || len(x.Body.Paid) != 2 || sum != 0 || x.Body.Owed != bed.USD(17_00) {
			t.Errorf("over %s, owed %s, paid %+v", x.Total, x.Body.Owed, x.Body.Paid)
		}
	})
}

// A paper of a day in a closed period is written all the same: no money moves by it, and the journal of that period stays as it is. One of an earlier
// day than the last of its series is not.
func TestAPaperOfAClosedPeriod(t *testing.T) {
	engines.Both(t, func(t *testing.T, b *bed.Bed) {
		o, other := b.Paid(b.Card.ID), b.Paid(b.Card.ID)
		b.Clock.Set(2026, 4, 10)
		_, err := journal.Close(b.Ctx, b.Studio, calendar.Date(2026, 3, 31))
		b.Must(err)
		before, err := journal.Balance(b.Ctx, b.Studio, journal.Span{To: calendar.Date(2026, 3, 31)})
		b.Must(err)
		x, err := billing.Write(b.Ctx, b.Studio, billing.WriteIn{Kind: invoice.Invoice, Order: o.ID, Day: calendar.Date(2026, 3, 20)})
		b.Must(err)
		if x.Day != calendar.Date(2026, 3, 20) {
			t.Errorf("it is of %s", x.Day)
		}
		_, err = billing.Write(b.Ctx, b.Studio, billing.WriteIn{Kind: invoice.Invoice, Order: other.ID, Day: calendar.Date(2026, 3, 19)})
		b.Refused(err, fault.Refused, "day", "cannot be of an earlier day")
		_, err = billing.Write(b.Ctx, b.Studio, billing.WriteIn{Kind: invoice.Invoice, Order: other.ID, Day: calendar.Date(2026, 4, 11)})
		b.Refused(err, fault.Invalid, "day", "future")
		after, err := journal.Balance(b.Ctx, b.Studio, journal.Span{To: calendar.Date(2026, 3, 31)})
		b.Must(err)
		if len(after.Rows) != len(before.Rows) {
			t.Fatal("the closed period has other accounts")
		}
		for i, r := range before.Rows {
			if after.Rows[i] != r {
				t.Errorf("%s moved in the closed period", r.Name)
			}
		}
	})
}
