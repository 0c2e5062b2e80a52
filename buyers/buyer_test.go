package buyers_test

import (
	"testing"

	"solander/book"
	"solander/buyers"
	"solander/fault"
	"solander/internal/bed"
	"solander/order"
	"solander/studio"
)

func TestChangeBuyerStandsInEveryOrder(t *testing.T) {
	b := bed.New(t)
	in := b.Sale()
	in.Buyer, in.Lines = order.Buyer{Name: "Zoe Bronte", Email: "zoe@example.org"}, []book.SaleLine{{Edition: b.Heron.ID}}
	first := b.Take(in)
	in.Buyer, in.Lines = order.Buyer{ID: first.BuyerData.ID}, []book.SaleLine{{Edition: b.Reeds.ID}}
	second := b.Take(in)
	other := b.Take(b.Sale())

	if _, err := buyers.ChangeBuyer(b.Ctx, b.Studio, first.BuyerData.ID, studio.Whole(order.Buyer{Name: " Zoë Brontë ", Email: "zb@example.org", Phone: "+44 20 7946 0000"})); err != nil {
		t.Fatal(err)
	}
	v, err := buyers.Buyer(b.Ctx, b.Studio, first.BuyerData.ID)
	if err != nil {
		t.Fatal(err)
	}
	if v.Name != "Zoë Brontë" || v.Email != "zb@example.org" || len(v.Orders) != 2 || v.Orders[0].Mark != second.Mark || v.Orders[1].BuyerName != "Zoë Brontë" {
		t.Errorf("the buyer is %+v with %d orders", v.Buyer, len(v.Orders))
	}
	found, err := book.Find(b.Ctx, b.Studio, "brontë")
	if err != nil || len(found.Buyers) != 1 || len(found.Orders) != 2 {
		t.Errorf("the new name finds %d buyers and %d orders (%v)", len(found.Buyers), len(found.Orders), err)
	}
	if again := b.Order(other.ID); again.BuyerData.Name == "Zoë Brontë" {
		t.Error("another buyer was renamed")
	}
	for _, c := range []struct {
		buyer order.Buyer
		code  fault.Code
		field string
	}{
		{order.Buyer{ID: first.BuyerData.ID}, fault.Invalid, "buyer"},
		{order.Buyer{ID: first.BuyerData.ID, Name: "Zoë", Email: "nowhere"}, fault.Invalid, "email"},
		{order.Buyer{ID: first.BuyerData.ID, Name: "Zo\xff"}, fault.Invalid, "buyer"},
		{order.Buyer{Name: "Zoë"}, fault.Invalid, "buyer"},
		{order.Buyer{ID: 999, Name: "Zoë"}, fault.Missing, ""},
	} {
		_, err := buyers.ChangeBuyer(b.Ctx, b.Studio, c.buyer.ID, studio.Whole(c.buyer))
		b.Refused(err, c.code, c.field, "")
	}
	if v, err = buyers.Buyer(b.Ctx, b.Studio, first.BuyerData.ID); err != nil || v.Name != "Zoë Brontë" {
		t.Errorf("a refused change left %q (%v)", v.Name, err)
	}
	b.Sound()
}
