package posted

import (
	"cmp"

	"solander/bankfile"
	"solander/calendar"
	"solander/consign"
	"solander/ledger"
	"solander/money"
)

// Banked is a line of the bank that was matched to something that stands, with the outlet of that, and its order if it is a payment.
type Banked struct {
	bankfile.Kept
	Outlet int64
	Kind   consign.Kind // of the gallery's money
	Whole  int64        // the order of the claim
	Opened calendar.Day // of the opening balance of its account, which holds what came up to then; no day: there is none
	Worth  money.Amount // of a payment that came in another currency: what it is at the outlet, less than nothing when it was paid back
}

// Bank is what a line ought to have in the journal: the money is in the bank, and no longer at the outlet, or owed for postage. Money that was there
// before the opening balance is in that balance already: it makes that account less instead. Cash that was carried to the bank is entered with
// its day at the table.
//
// Of a payment that came in another currency what it was thought to be worth leaves the outlet: what the bank made of it instead is a gain or a loss,
// and on an account in that currency it is still worth what it was.
func Bank(b Banked) []ledger.Event {
	if b.State != bankfile.Matched || b.Carry != 0 {
		return nil
	}
	from := ledger.AtOutlets
	if b.Kind == consign.Freight {
		from = ledger.Postal
	}
	e := ledger.Event{Part: "bank", Day: b.Day, Text: "at the bank: " + what(b.Kept)}
	to := ledger.Bank
	if !b.Opened.IsZero() && !b.Day.After(b.Opened) {
		to, e.Text = ledger.Opening, e.Text+", in its opening balance"
	}
	refs := ledger.Refs{Order: cmp.Or(b.Order, b.Whole), Outlet: b.Outlet}
	at, left := b.Amount, b.Amount
	if b.Worth.Currency != "" {
		if left = b.Worth; at.Currency != left.Currency {
			at = left
		}
	}
	e.Add(to, at, refs)
	e.Add(from, left.Neg(), refs)
	e.Add(ledger.Exchange, money.Of(left.Minor-at.Minor, at.Currency), refs)
	if len(e.Lines) == 0 {
		return nil
	}
	return []ledger.Event{e}
}

// what says without any name what it is.
func what(k bankfile.Kept) string {
	switch {
	case k.Mark != "":
		return k.Mark
	case k.Payout != 0:
		return "a payout"
	case k.Claim != 0:
		return "an operator's payment"
	}
	return "money of a gallery"
}
