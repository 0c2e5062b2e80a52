package studio_test

import (
	"testing"

	"solander/bench"
	"solander/calendar"
	"solander/edition"
	"solander/fault"
	"solander/order"
	"solander/studio"
)

// doorSale is one heron sold at the door.
func (b *bed) doorSale() studio.OrderView {
	in := b.sale()
	in.ShipTo, in.InPerson, in.Postage = order.Address{}, true, usd(0)
	return b.take(in)
}

// A sale at the door is handed over without a parcel; numbers, drawer, register and journal say so, and undo takes all of it back.
func TestHandingOverInPerson(t *testing.T) {
	b := newBed(t)
	noAddress := b.sale()
	noAddress.ShipTo = order.Address{}
	_, err := b.TakeOrder(b.ctx, noAddress)
	b.refused(err, fault.Invalid, "ship_to.line1", "missing")

	v := b.doorSale()
	before := b.sheetsOf(b.heron.ID)
	err = b.HandIn(b.ctx, studio.HandInIn{Order: v.ID})
	b.refused(err, fault.Refused, "", "90.00 USD is still owed")
	b.refused(err, fault.Refused, "", "number 1 is not signed") // all at once
	b.must(b.Pay(b.ctx, studio.PaymentIn{Order: v.ID, Amount: v.Owed}))
	b.must(b.Sign(b.ctx, lineIDs(v)))
	_, err = b.Plan(b.ctx, v.ID, calendar.Day{})
	b.refused(err, fault.Refused, "", "in person")
	_, err = b.Pack(b.ctx, studio.PackIn{Order: v.ID})
	b.refused(err, fault.Refused, "", "in person")
	if tasks := must(b.Bench(b.ctx, calendar.Day{})).Groups[bench.HandOver]; len(tasks) != 1 || tasks[0].Mark != v.Mark || tasks[0].Blocked != "" {
		t.Errorf("the bench says %+v", tasks)
	}
	b.refused(b.HandIn(b.ctx, studio.HandInIn{Order: v.ID, Day: v.Placed.Add(-1)}), fault.Invalid, "day", "before the day of the sale")

	b.must(b.HandIn(b.ctx, studio.HandInIn{Order: v.ID}))
	v = b.order(v.ID)
	if v.State != order.Closed || !v.Views[0].Sent || len(v.Parcels) != 0 || b.sheetsOf(b.heron.ID) != before-1 {
		t.Errorf("%s, sent %v, %d parcels, %d sheets of %d", v.State, v.Views[0].Sent, len(v.Parcels), b.sheetsOf(b.heron.ID), before)
	}
	history := must(b.Number(b.ctx, b.heron.ID, edition.Number{Kind: edition.Numbered, N: 1})).History
	if last := history[len(history)-1]; last.Step != edition.Send || last.Note != "handed over in person" {
		t.Errorf("the register says %+v", last)
	}
	b.sound()
	b.refused(b.HandIn(b.ctx, studio.HandInIn{Order: v.ID}), fault.Refused, "", "closed")
	b.refused(b.Undo(b.ctx, b.latest(studio.MarkPaid).ID), fault.Refused, "", "handed over because it was paid")

	b.must(b.Undo(b.ctx, b.latest(studio.MarkHandedOver).ID))
	if v = b.order(v.ID); v.State != order.Open || v.Stage != order.AwaitsHandOver || b.sheetsOf(b.heron.ID) != before || b.state(b.heron.ID, 1).State != edition.Signed {
		t.Errorf("%s, %s, %d sheets, %+v", v.State, v.Stage, b.sheetsOf(b.heron.ID), b.state(b.heron.ID, 1))
	}
	b.sound()
}

// An order that is sent after all waits for its address: it is paid and signed, and nothing of it is planned, packed or handed over.
func TestAnAddressThatIsMissing(t *testing.T) {
	b := newBed(t)
	v := b.doorSale()
	b.must(b.Pay(b.ctx, studio.PaymentIn{Order: v.ID, Amount: v.Owed}))
	b.must(b.Sign(b.ctx, lineIDs(v)))
	v, err := b.Amend(b.ctx, studio.AmendIn{Order: v.ID, InPerson: ptr(false)})
	b.must(err)
	if v.Stage != order.AwaitsAddress || len(v.Lacks) != 1 || v.Lacks[0].Rule != order.LackAddress || v.Lacks[0].Mend == "" {
		t.Errorf("it stands at %s, and lacks %+v", v.Stage, v.Lacks)
	}
	if page := must(b.Orders(b.ctx, studio.OrderQuery{}, order.AwaitsAddress)); len(page.Rows) != 1 {
		t.Errorf("%d orders await an address", len(page.Rows))
	}
	list := must(b.Bench(b.ctx, calendar.Day{}))
	if tasks := list.Groups[bench.AskAddress]; len(tasks) != 1 || tasks[0].What != "the address is missing" || len(tasks[0].Detail) != 1 || tasks[0].Detail[0] != "ask ada@example.org" || len(list.Groups[bench.PackOrders]) != 0 {
		t.Errorf("the bench says %+v", list.Groups)
	}
	_, err = b.Plan(b.ctx, v.ID, calendar.Day{})
	b.refused(err, fault.Refused, "", "the address is missing")
	_, err = b.Pack(b.ctx, studio.PackIn{Order: v.ID})
	b.refused(err, fault.Refused, "", "the address is missing")
	b.refused(b.HandIn(b.ctx, studio.HandInIn{Order: v.ID}), fault.Refused, "", "goes in a parcel")
	_, err = b.ScanMark(b.ctx, v.Mark)
	b.refused(err, fault.Refused, "code", "the address is missing")
}

// An order for which nothing was paid yet, of an edition without a sheet: its page tells all that a hand-over is refused for.
func TestThePageTellsWhatTheRefusalTells(t *testing.T) {
	b := newBed(t)
	in := b.sale()
	in.Lines, in.InPerson = []studio.SaleLine{{Edition: b.reeds.ID}}, true
	v := b.take(in)
	refused := fault.All(b.HandIn(b.ctx, studio.HandInIn{Order: v.ID}))
	byID, err := b.Order(b.ctx, v.ID)
	b.must(err)
	byMark, err := b.OrderByMark(b.ctx, v.Mark)
	b.must(err)
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
	b := newBed(t)
	in := b.sale()
	in.Lines = []studio.SaleLine{{Edition: b.heron.ID}, {Edition: b.reeds.ID}}
	in.InPerson = true
	v := b.take(in)
	b.must(b.Pay(b.ctx, studio.PaymentIn{Order: v.ID, Amount: usd(1_00)}))
	v, err := b.Amend(b.ctx, studio.AmendIn{Order: v.ID, InPerson: ptr(false)})
	b.must(err)
	says := []string{"184.00 USD is still owed", "number 1 is not signed", "there is no sheet of 1/3 Reeds in wind in the drawer"}
	_, err = b.Pack(b.ctx, studio.PackIn{Order: v.ID})
	for _, want := range says {
		b.refused(err, fault.Refused, "", want)
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
	for _, it := range must(b.Shelf(b.ctx)) {
		b.must(b.CountShelf(b.ctx, it.ID, 0, "sold out"))
	}
	_, err = b.Pack(b.ctx, studio.PackIn{Order: v.ID})
	b.refused(err, fault.Refused, "", "184.00 USD is still owed")
	b.refused(err, fault.Refused, "", "it cannot be packed")
}
