package book_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"solander/book"
	"solander/calendar"
	"solander/fault"
	"solander/internal/bed"
	"solander/order"
	"solander/planning"
	"solander/studio"
)

// What is foreseen is what is done: numbers, prices, fee, promise and cost of sending, and nothing of the look is kept.
func TestForeseenIsTaken(t *testing.T) {
	b := bed.New(t)
	for range 4 {
		in := b.Sale()
		in.Lines = append(in.Lines, book.SaleLine{Edition: b.Card.ID})
		before, err := book.Orders(b.Ctx, b.Studio, studio.OrderQuery{}, "")
		b.Must(err)
		seen, err := book.Foresee(b.Ctx, b.Studio, in)
		b.Must(err)
		after, err := book.Orders(b.Ctx, b.Studio, studio.OrderQuery{}, "")
		b.Must(err)
		if len(before.Rows) != len(after.Rows) {
			t.Fatalf("looking made %d orders of %d", len(after.Rows), len(before.Rows))
		}
		in.Paid = seen.Order.Due
		v := b.Take(in)
		for i := range v.Views {
			if seen.Order.Views[i].Label != v.Views[i].Label || seen.Order.Lines[i].Price != v.Lines[i].Price {
				t.Errorf("line %d was foreseen as %s at %s and is %s at %s", i, seen.Order.Views[i].Label, seen.Order.Lines[i].Price, v.Views[i].Label, v.Lines[i].Price)
			}
		}
		if seen.Order.Mark != v.Mark || seen.Order.Fee != v.Fee || seen.Order.Promised != v.Promised || !v.Owed.IsZero() {
			t.Error(cmp.Diff(seen.Order.Order, v.Order))
		}
		plan, err := planning.Plan(b.Ctx, b.Studio, v.ID, calendar.Day{})
		b.Must(err)
		if seen.Held != "" || !seen.Proven || seen.Sending.Minor != plan.Plan.Total || seen.Parcels != len(plan.Plan.Parcels) || seen.Parcels == 0 {
			t.Errorf("foreseen %s in %d (%s), planned %d", seen.Sending, seen.Parcels, seen.Held, plan.Plan.Total)
		}
	}
	b.Sound()
}

func TestForeseeWhatIsNotWhole(t *testing.T) {
	b := bed.New(t)
	seen, err := book.Foresee(b.Ctx, b.Studio, book.Sale{Lines: []book.SaleLine{{Edition: b.Heron.ID}}})
	b.Must(err)
	if seen.Order.Views[0].Label != "1/5" || seen.Parcels != 0 || seen.Held != "" {
		t.Errorf("%+v", seen)
	}
	_, err = book.Foresee(b.Ctx, b.Studio, book.Sale{Lines: []book.SaleLine{{Edition: b.Heron.ID, Number: "9"}}})
	b.Refused(err, fault.Invalid, "lines[0].number", "")
	_, err = book.Foresee(b.Ctx, b.Studio, book.Sale{Buyer: order.Buyer{Name: "Ada"}})
	b.Refused(err, fault.Invalid, "lines", "")
	if found, err := book.Find(b.Ctx, b.Studio, "Ada"); err != nil || len(found.Buyers) != 0 {
		t.Errorf("a buyer was made by looking (%v)", err)
	}
	b.Sound()
}
