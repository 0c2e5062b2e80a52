package dispatch_test

import (
	"testing"

	_ "modernc.org/sqlite"

	"solander/book"
	"solander/dispatch"
	"solander/edition"
	"solander/fault"
	"solander/internal/bed"
	"solander/order"
	"solander/studio"
)

func overTheTable(b *bed.Bed, note string) book.Sale {
	in := b.Sale()
	in.Buyer, in.ShipTo, in.Postage, in.PaidNote = order.Buyer{}, order.Address{}, bed.USD(0), note
	return in
}

// She takes it with her: one deed, and the number is sent, the money in, the sheet out of the drawer, no parcel made.
func TestSellInPerson(t *testing.T) {
	b := bed.New(t)
	v, err := dispatch.SellInPerson(b.Ctx, b.Studio, overTheTable(b, "cash"))
	b.Must(err)
	if v.State != order.Closed || !v.Owed.IsZero() || v.Paid != v.Due || len(v.Parcels) != 0 || !v.Views[0].Sent || !v.InPerson {
		t.Errorf("it stands %s, owed %s, %d parcels, sent %v", v.State, v.Owed, len(v.Parcels), v.Views[0].Sent)
	}
	if v.BuyerData.Name != dispatch.Unnamed || v.Payments[0].Note != "cash" {
		t.Errorf("sold to %q, paid by %q", v.BuyerData.Name, v.Payments[0].Note)
	}
	if st := b.State(b.Heron.ID, 1); st.State != edition.Sent {
		t.Errorf("number 1 is %s", st.State)
	}
	again, err := dispatch.SellInPerson(b.Ctx, b.Studio, overTheTable(b, "card"))
	b.Must(err)
	if again.Buyer == v.Buyer || again.Views[0].Label != "2/5" {
		t.Errorf("the next one went to buyer %d with %s", again.Buyer, again.Views[0].Label)
	}
	b.Must(dispatch.Undo(b.Ctx, b.Studio, b.Latest(studio.MarkHandedOver).ID))
	if st := b.State(b.Heron.ID, 2); st.State != edition.Signed {
		t.Errorf("number 2 is %s after undoing", st.State)
	}
	b.Sound()
}

// All or nothing: without a sheet in the drawer nothing is sold, and every print without one is told.
func TestSellInPersonThatCannotBe(t *testing.T) {
	b := bed.New(t)
	sheets := overTheTable(b, "")
	sheets.Lines = nil
	for range 5 {
		sheets.Lines = append(sheets.Lines, book.SaleLine{Edition: b.Heron.ID})
	}
	_, err := dispatch.SellInPerson(b.Ctx, b.Studio, sheets) // there are four sheets
	b.Refused(err, fault.Refused, "", "no sheet")
	posted := overTheTable(b, "")
	posted.Postage = bed.USD(5_00)
	_, err = dispatch.SellInPerson(b.Ctx, b.Studio, posted)
	b.Refused(err, fault.Invalid, "postage", "nothing is posted")
	if page, err := book.Orders(b.Ctx, b.Studio, studio.OrderQuery{}, ""); err != nil || len(page.Rows) != 0 {
		t.Errorf("%d orders are kept (%v)", len(page.Rows), err)
	}
	if st := b.State(b.Heron.ID, 1); st.State != edition.Free {
		t.Errorf("number 1 is %s", st.State)
	}
	b.Sound()
}
