package posted

import (
	"solander/bankfile"
	"solander/consign"
	"solander/ledger"
)

// Banked is a line of the bank that was matched to something that stands, with the outlet of that, and its order if it is a payment.
type Banked struct {
	bankfile.Kept
	Outlet int64
	Kind   consign.Kind // of the gallery's money
}

// Bank is what a line ought to have in the journal: the money is in the bank, and no longer at the outlet, or owed for postage.
func Bank(b Banked) []ledger.Event {
	if b.State != bankfile.Matched {
		return nil
	}
	from := ledger.AtOutlets
	if b.Kind == consign.Freight {
		from = ledger.Postal
	}
	e := ledger.Event{Part: "bank", Day: b.Day, Text: "at the bank: " + what(b.Kept)}
	e.Move(ledger.Bank, from, b.Amount, ledger.Refs{Order: b.Order, Outlet: b.Outlet})
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
	}
	return "money of a gallery"
}
