package posted

import (
	"solander/claim"
	"solander/ledger"
)

// Claim is what a claim on an operator ought to have in the journal. Once prints are given up, what they, their packaging and their postage had cost
// is a loss by the parcel; what the operator grants is owed by it and makes the loss less, until it pays. What it does not pay is written off
// when the claim is closed. prints are those that the claim is about.
func Claim(c claim.Claim, prints []Print) []ledger.Event {
	if c.State == claim.Void {
		return nil
	}
	var out []ledger.Event
	add := func(e ledger.Event) {
		if len(e.Lines) > 0 {
			out = append(out, e)
		}
	}
	text := marks(prints) + ", a parcel " + map[claim.Kind]string{claim.Damaged: "damaged", claim.Lost: "lost", claim.Missing: "with a part missing"}[c.Kind]
	lost := ledger.Event{Part: "loss", Day: c.MadeOn, Text: text}
	if c.Made.Gone() {
		for _, l := range c.Losses {
			r := ledger.Refs{Order: l.Order, Line: l.Line, Edition: l.Edition, Outlet: l.Outlet}
			lost.Move(ledger.ClaimLosses, ledger.CostOfPrints, l.Print, r)
			lost.Move(ledger.ClaimLosses, ledger.PackagingUsed, l.Packing, r)
			lost.Move(ledger.ClaimLosses, ledger.PostagePaid, l.Postage, r)
		}
		lost.Lines = ledger.Compact(lost.Lines)
	}
	add(lost)
	whole := ledger.Refs{Order: c.Order}
	granted := ledger.Event{Part: "granted", Day: c.Answered, Text: text + ": granted by the operator"}
	granted.Add(ledger.Claims, c.Granted, whole)
	spread(&granted, ledger.ClaimLosses, c.Granted.Neg(), prints)
	add(granted)
	paid := ledger.Event{Part: "paid", Day: c.PaidOn, Text: text + ": paid by the operator"}
	paid.Move(ledger.AtOutlets, ledger.Claims, c.Paid, whole)
	add(paid)
	if c.State == claim.Closed {
		short := ledger.Event{Part: "short", Day: c.Ended, Text: text + ": granted and not paid"}
		short.Add(ledger.Claims, c.Short().Neg(), whole)
		spread(&short, ledger.ClaimLosses, c.Short(), prints)
		add(short)
	}
	return out
}
