package order

import (
	"solander/calendar"
	"solander/money"
)

// Credit is what credit notes took off the last invoice of an order, in the book's currency. The invoices before that one were taken off in whole,
// and receipts tell what came in, not what is asked for: neither counts.
type Credit struct {
	Notes []CreditNote `json:"notes"`        // the oldest first
	Left  money.Amount `json:"left"`         // of the invoice
	As    *Credit      `json:"as,omitempty"` // the same in the currency of the invoice, where that is another
}

// CreditNote is one of them.
type CreditNote struct {
	Bill   int64        `json:"bill"`
	Label  string       `json:"label"`
	Day    calendar.Day `json:"day"`
	Amount money.Amount `json:"amount"`
}

// In is the credit in a currency; ok is false when no paper says it in that.
func (c Credit) In(currency string) (in Credit, ok bool) {
	switch {
	case c.Left.Currency == currency:
		return c, true
	case c.As != nil && c.As.Left.Currency == currency:
		return *c.As, true
	}
	return Credit{}, false
}

// Off is how much of what is due is not asked for by credit notes, in minor units: as much as they took off, as long as no less is left than the
// invoice still asks for, so that a price that was lowered as well is not taken off twice. When nothing is left of the invoice it is void, and
// the sale is no gift: what was paid back is not asked for again, the rest is.
func (c Credit) Off(due, refunded int64) int64 {
	var off int64
	for _, n := range c.Notes {
		off += n.Amount.Minor
	}
	if off = max(0, min(off, due-c.Left.Minor)); c.Left.Sign() <= 0 {
		off = min(off, refunded)
	}
	return off
}

// Credited is how much of what is due is not asked for by credit notes; see Credit.Off.
func (o Order) Credited() money.Amount {
	due := o.Due()
	return money.Of(o.Credit.Off(due.Minor, o.refunded().Minor), due.Currency)
}
