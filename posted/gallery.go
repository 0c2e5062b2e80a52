package posted

import (
	"fmt"

	"solander/consign"
	"solander/ledger"
	"solander/money"
)

// Consigned is what a print at a gallery ought to have in the journal once it is sold or lost: what the gallery owes, its share, and what the
// print cost. That it went there, or came back, is entered with its sheet. cost is what is left of the cost that it took along; outlet is the
// gallery's. Of a print that came back that is nothing; when an earlier edition of the program gave back the cost of another's sheet, which
// lies in the drawer for it, the difference is what prints cost that were sold.
func Consigned(p consign.Print, outlet int64, cost money.Amount) []ledger.Event {
	if p.State == consign.Out {
		return nil
	}
	r := ledger.Refs{Edition: p.Edition, Outlet: outlet}
	e := ledger.Event{Part: "ended", Day: p.Ended, Text: fmt.Sprintf("a print at a gallery, %s", p.State.Words())}
	e.Add(ledger.Galleries, p.Hers(), r)
	e.Add(ledger.GalleryShare, p.Kept, r)
	e.Add(ledger.GallerySales, p.Sold.Neg(), r)
	to := ledger.CostOfPrints
	if p.State == consign.Lost && p.Sold.IsZero() { // lost, and the artist bears it
		to = ledger.Spoilt
	}
	e.Move(to, ledger.Consigned, cost, r)
	if len(e.Lines) == 0 {
		return nil
	}
	return []ledger.Event{e}
}

// GalleryMoney is what money of a gallery ought to have in the journal. What it paid stands at the gallery's outlet until the bank or the cash
// box takes it on.
func GalleryMoney(m consign.Money, outlet int64) []ledger.Event {
	if m.Reversed {
		return nil
	}
	r := ledger.Refs{Outlet: outlet}
	e := ledger.Event{Part: "money", Day: m.Day, Text: "a gallery: " + m.Kind.Words()}
	switch m.Kind {
	case consign.Paid:
		e.Move(ledger.AtOutlets, ledger.Galleries, m.Amount, r)
	case consign.Costs:
		e.Move(ledger.GalleryShare, ledger.Galleries, m.Amount, r)
	case consign.Freight:
		e.Move(ledger.PostagePaid, ledger.Postal, m.Amount, r)
	}
	return []ledger.Event{e}
}
