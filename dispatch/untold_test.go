package dispatch_test

import (
	"slices"
	"strings"
	"testing"

	"solander/book"
	"solander/certify"
	"solander/disclosure"
	"solander/dispatch"
	"solander/internal/bed"
	"solander/labelling"
	"solander/register"
	"solander/studio"
)

// What goes before its buyer was told what the rules of a state ask for goes all the same, and the journal of its order says so, in a parcel and in person;
// of what was told it says nothing. Source: California Civil Code s. 1741 (from 100 dollars, memory).
func TestHandedOverBeforeItWasTold(t *testing.T) {
	b := bed.New(t)
	sold := func(cents int64, inPerson bool) studio.OrderView {
		t.Helper()
		in := b.Sale()
		in.ShipTo.Region, in.InPerson = "CA", inPerson
		in.Lines[0].Price = bed.Ptr(bed.USD(cents))
		v := b.Take(in)
		b.Must(book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: v.ID, Amount: v.Owed}))
		b.Must(register.Sign(b.Ctx, b.Studio, bed.LineIDs(v)))
		if inPerson {
			b.Must(dispatch.HandIn(b.Ctx, b.Studio, dispatch.HandInIn{Order: v.ID}))
			return b.Order(v.ID)
		}
		parcels, err := dispatch.Pack(b.Ctx, b.Studio, dispatch.PackIn{Order: v.ID})
		b.Must(err)
		for _, p := range parcels {
			b.Must(labelling.Label(b.Ctx, b.Studio, labelling.LabelIn{Parcel: p.ID, Paid: bed.USD(5_35)}))
		}
		_, err = dispatch.HandOver(b.Ctx, b.Studio, dispatch.HandOverIn{})
		b.Must(err)
		return b.Order(v.ID)
	}
	says := func(v studio.OrderView) bool {
		return slices.ContainsFunc(v.Marks, func(m studio.Mark) bool {
			return strings.HasPrefix(m.Text, "handed over with facts to tell: ") && strings.HasSuffix(m.Text, "(California)")
		})
	}
	for _, inPerson := range []bool{false, true} {
		v := sold(100_00, inPerson)
		if !says(v) {
			t.Errorf("in person %v: nothing says that its buyer was not told: %+v", inPerson, v.Marks)
		}
	}
	if v := sold(99_99, true); says(v) {
		t.Error("below the price from which the rules hold it says so, too")
	}
	_, err := certify.Say(b.Ctx, b.Studio, b.Heron.ID, func(w *certify.Words) error {
		for _, a := range disclosure.Asked() {
			(*w)[a.Fact] = disclosure.UnknownWords
		}
		return nil
	})
	b.Must(err)
	if v := sold(100_00, true); says(v) {
		t.Error("of what was told it says so, too")
	}
}
