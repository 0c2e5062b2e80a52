package dispatch_test

import (
	"testing"

	"solander/bench"
	"solander/book"
	"solander/calendar"
	"solander/daybench"
	"solander/dispatch"
	"solander/edition"
	"solander/fault"
	"solander/internal/bed"
	"solander/labelling"
	"solander/order"
	"solander/planning"
	"solander/register"
	"solander/stockroom"
	"solander/studio"
)

// A sale at the door is handed over without a parcel; numbers, drawer, register and journal say so, and undo takes all of it back.
func TestHandingOverInPerson(t *testing.T) {
	b := bed.New(t)
	noAddress := b.Sale()
	noAddress.ShipTo = order.Address{}
	_, err := book.TakeOrder(b.Ctx, b.Studio, noAddress)
	b.Refused(err, fault.Invalid, "ship_to.line1", "missing")

	v := b.DoorSale()
	before := b.SheetsOf(b.Heron.ID)
	err = dispatch.HandIn(b.Ctx, b.Studio, dispatch.HandInIn{Order: v.ID})
	b.Refused(err, fault.Refused, "", "90.00 USD is still owed")
	b.Refused(err, fault.Refused, "", "number 1 is not signed") // all at once
	b.Must(book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: v.ID, Amount: v.Owed}))
	b.Must(register.Sign(b.Ctx, b.Studio, bed.LineIDs(v)))
	_, err = planning.Plan(b.Ctx, b.Studio, v.ID, calendar.Day{})
	b.Refused(err, fault.Refused, "", "in person")
	_, err = dispatch.Pack(b.Ctx, b.Studio, dispatch.PackIn{Order: v.ID})
	b.Refused(err, fault.Refused, "", "in person")
	if tasks := bed.Must(daybench.List(b.Ctx, b.Studio, calendar.Day{})).Groups[bench.HandOver]; len(tasks) != 1 || tasks[0].Mark != v.Mark || tasks[0].Blocked != "" {
		t.Errorf("the bench says %+v", tasks)
	}
	b.Refused(dispatch.HandIn(b.Ctx, b.Studio, dispatch.HandInIn{Order: v.ID, Day: v.Placed.Add(-1)}), fault.Invalid, "day", "before the day of the sale")

	b.Must(dispatch.HandIn(b.Ctx, b.Studio, dispatch.HandInIn{Order: v.ID}))
	v = b.Order(v.ID)
	if v.State != order.Closed || !v.Views[0].Sent || len(v.Parcels) != 0 || b.SheetsOf(b.Heron.ID) != before-1 {
		t.Errorf("%s, sent %v, %d parcels, %d sheets of %d", v.State, v.Views[0].Sent, len(v.Parcels), b.SheetsOf(b.Heron.ID), before)
	}
	history := bed.Must(register.Number(b.Ctx, b.Studio, b.Heron.ID, edition.Number{Kind: edition.Numbered, N: 1})).History
	if last := history[len(history)-1]; last.Step != edition.Send || last.Note != "handed over in person" {
		t.Errorf("the register says %+v", last)
	}
	b.Sound()
	b.Refused(dispatch.HandIn(b.Ctx, b.Studio, dispatch.HandInIn{Order: v.ID}), fault.Refused, "", "closed")
	b.Refused(dispatch.Undo(b.Ctx, b.Studio, b.Latest(studio.MarkPaid).ID), fault.Refused, "", "handed over because it was paid")

	b.Must(dispatch.Undo(b.Ctx, b.Studio, b.Latest(studio.MarkHandedOver).ID))
	if v = b.Order(v.ID); v.State != order.Open || v.Stage != order.AwaitsHandOver || b.SheetsOf(b.Heron.ID) != before || b.State(b.Heron.ID, 1).State != edition.Signed {
		t.Errorf("%s, %s, %d sheets, %+v", v.State, v.Stage, b.SheetsOf(b.Heron.ID), b.State(b.Heron.ID, 1))
	}
	b.Sound()
}

// An order that is sent after all waits for its address: it is paid and signed, and nothing of it is planned, packed or handed over.
func TestAnAddressThatIsMissing(t *testing.T) {
	b := bed.New(t)
	v := b.DoorSale()
	b.Must(book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: v.ID, Amount: v.Owed}))
	b.Must(register.Sign(b.Ctx, b.Studio, bed.LineIDs(v)))
	v, err := book.Amend(b.Ctx, b.Studio, book.AmendIn{Order: v.ID, InPerson: bed.Ptr(false)})
	b.Must(err)
	if v.Stage != order.AwaitsAddress || len(v.Lacks) != 1 || v.Lacks[0].Rule != order.LackAddress || v.Lacks[0].Mend == "" {
		t.Errorf("it stands at %s, and lacks %+v", v.Stage, v.Lacks)
	}
	if page := bed.Must(book.Orders(b.Ctx, b.Studio, studio.OrderQuery{}, order.AwaitsAddress)); len(page.Rows) != 1 {
		t.Errorf("%d orders await an address", len(page.Rows))
	}
	list := bed.Must(daybench.List(b.Ctx, b.Studio, calendar.Day{}))
	if tasks := list.Groups[bench.AskAddress]; len(tasks) != 1 || tasks[0].What != "the address is missing" || len(tasks[0].Detail) != 1 || tasks[0].Detail[0] != "ask ada@example.org" || len(list.Groups[bench.PackOrders]) != 0 {
		t.Errorf("the bench says %+v", list.Groups)
	}
	_, err = planning.Plan(b.Ctx, b.Studio, v.ID, calendar.Day{})
	b.Refused(err, fault.Refused, "", "the address is missing")
	_, err = dispatch.Pack(b.Ctx, b.Studio, dispatch.PackIn{Order: v.ID})
	b.Refused(err, fault.Refused, "", "the address is missing")
	b.Refused(dispatch.HandIn(b.Ctx, b.Studio, dispatch.HandInIn{Order: v.ID}), fault.Refused, "", "goes in a parcel")
	_, err = labelling.ScanMark(b.Ctx, b.Studio, v.Mark)
	b.Refused(err, fault.Refused, "code", "the address is missing")
}

// An order for which nothing was paid yet, of an edition without a sheet: its page tells all that a hand-over is refused for.
func TestThePageTellsWhatTheRefusalTells(t *testing.T) {
	b := bed.New(t)
	in := b.Sale()
	in.Lines, in.InPerson = []book.SaleLine{{Edition: b.Reeds.ID}}, true
	v := b.Take(in)
	refused := fault.All(dispatch.HandIn(b.Ctx, b.Studio, dispatch.HandInIn{Order: v.ID}))
	byID, err := book.Order(b.Ctx, b.Studio, v.ID)
	b.Must(err)
	byMark, err := book.OrderByMark(b.Ctx, b.Studio, v.Mark)
	b.Must(err)
	for _, view := range []studio.OrderView{byID, byMark} {
		if len(view.Lacks) != 3 || len(refused) != 3 {
			t.Fatalf("the page tells %+v, the refusal %v", view.Lacks, refused)
		}
		for i, l := range view.Lacks {
			if l.What != refused[i].What {
				t.Errorf("the page tells %q, the refusal %q", l.What, refused[i].What)
			}
		}
	}
}

// What an order lacks is told whole: money, signatures, address and sheets, and that no way of sending it is left.
func TestEverythingThatIsMissingIsTold(t *testing.T) {
	b := bed.New(t)
	in := b.Sale()
	in.Lines = []book.SaleLine{{Edition: b.Heron.ID}, {Edition: b.Reeds.ID}}
	in.InPerson = true
	v := b.Take(in)
	b.Must(book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: v.ID, Amount: bed.USD(1_00)}))
	v, err := book.Amend(b.Ctx, b.Studio, book.AmendIn{Order: v.ID, InPerson: bed.Ptr(false)})
	b.Must(err)
	says := []string{"184.00 USD is still owed", "number 1 is not signed", "there is no sheet of 1/3 Reeds in wind in the drawer"}
	_, err = dispatch.Pack(b.Ctx, b.Studio, dispatch.PackIn{Order: v.ID})
	for _, want := range says {
		b.Refused(err, fault.Refused, "", want)
	}
	if n := len(fault.All(err)); n != 4 {
		t.Errorf("%d things are told, want 4: %v", n, err)
	}
	for _, rule := range []string{order.LackMoney, order.LackSignature, order.LackSheet} {
		found := false
		for _, l := range v.Lacks {
			found = found || l.Rule == rule
		}
		if !found {
			t.Errorf("the page does not tell of %s: %+v", rule, v.Lacks)
		}
	}

	// The address and the shelf are looked at in the same breath.
	for _, it := range bed.Must(stockroom.Shelf(b.Ctx, b.Studio)) {
		b.Must(stockroom.CountShelf(b.Ctx, b.Studio, it.ID, 0, "sold out"))
	}
	_, err = dispatch.Pack(b.Ctx, b.Studio, dispatch.PackIn{Order: v.ID})
	b.Refused(err, fault.Refused, "", "184.00 USD is still owed")
	b.Refused(err, fault.Refused, "", "it cannot be packed")
}
