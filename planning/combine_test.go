package planning_test

import (
	"slices"
	"strings"
	"testing"

	"solander/bench"
	"solander/book"
	"solander/calendar"
	"solander/daybench"
	"solander/dispatch"
	"solander/fault"
	"solander/internal/bed"
	"solander/labelling"
	"solander/order"
	"solander/packing"
	"solander/paperwork"
	"solander/register"
	"solander/studio"
	"solander/suppose"
)

// combining is a bed at which orders of one buyer to one address may share parcels.
func combining(t *testing.T) *bed.Bed {
	t.Helper()
	b := bed.New(t)
	b.Combine(true)
	return b
}

// Two orders of Ada go in one parcel: both are planned so, the bench tells it once, and packing, labelling and handing
// over one does it to both; what that costs is shared out, and undoing takes all of it back.
func TestOrdersOfOneBuyerGoTogether(t *testing.T) {
	b := bed.New(t)
	first, second := b.Ready(b.Heron.ID), b.Ready(b.Card.ID, b.Card.ID)
	apart := b.Plan(first.ID).Plan.Total + b.Plan(second.ID).Plan.Total
	if n := len(b.Plan(first.ID).Plan.Orders); n != 1 {
		t.Fatalf("%d orders are planned together without leave", n)
	}
	b.Combine(true)
	p, q := b.Plan(first.ID), b.Plan(second.ID)
	if len(p.Plan.Parcels) != 1 || p.Plan.Total != q.Plan.Total || p.Plan.Total >= apart || len(p.Plan.Parcels[0].Orders) != 2 {
		t.Fatalf("planned in %d parcels for %d and %d, apart %d", len(p.Plan.Parcels), p.Plan.Total, q.Plan.Total, apart)
	}
	b.ToldOnce(first.Mark, second.Mark)

	parcels, err := dispatch.Pack(b.Ctx, b.Studio, dispatch.PackIn{Order: second.ID, Total: &q.Plan.Total})
	b.Must(err)
	if len(parcels) != 1 || parcels[0].Order != first.ID || len(parcels[0].Lines) != 3 || !slices.Equal(parcels[0].Orders, []int64{first.ID, second.ID}) {
		t.Fatalf("packed %+v", parcels)
	}
	b.Must(labelling.Label(b.Ctx, b.Studio, labelling.LabelIn{Parcel: parcels[0].ID, Paid: bed.USD(10_00), Tracking: "RR123456785US"}))
	first, second = b.Order(first.ID), b.Order(second.ID)
	if first.Stage != order.AwaitsHandOver || second.Stage != order.AwaitsHandOver {
		t.Errorf("stages %s and %s", first.Stage, second.Stage)
	}
	// One print of three is 3.33⅓ of 10.00, two are 6.66⅔: the cent left goes to the larger remainder.
	if first.Sending.Postage != bed.USD(3_33) || second.Sending.Postage != bed.USD(6_67) {
		t.Errorf("of 10.00 they bear %s and %s", first.Sending.Postage, second.Sending.Postage)
	}
	found, err := book.Find(b.Ctx, b.Studio, "RR123456785US")
	b.Must(err)
	if len(found.Orders) != 2 {
		t.Errorf("%d orders are found by the tracking number", len(found.Orders))
	}
	b.Sound()
	b.HandedOverTogether(first.ID, second.ID)
	b.Must(dispatch.Undo(b.Ctx, b.Studio, b.Latest(studio.MarkLabelled).ID))
	b.Must(dispatch.Undo(b.Ctx, b.Studio, b.Latest(studio.MarkPacked).ID))
	for _, id := range []int64{first.ID, second.ID} {
		if v := b.Order(id); len(v.Parcels) != 0 || v.Stage != order.AwaitsPacking {
			t.Errorf("%s is %s with %d parcels after all was undone", v.Mark, v.Stage, len(v.Parcels))
		}
	}
	b.Sound()
}

// What was paid counts from the label on, be it nothing; until then, what the card says.
func TestPostageCountsAsPaidFromTheLabelOn(t *testing.T) {
	p := studio.Parcel{Estimated: bed.USD(10_00), Plan: packing.Parcel{Contents: []packing.Content{{Order: "S-1", Copies: 1}, {Order: "S-2", Copies: 2}}}}
	for _, c := range []struct {
		state                studio.ParcelState
		paid                 int64
		whole, first, second int64
	}{
		{studio.Packed, 0, 10_00, 3_33, 6_67},
		{studio.Labelled, 0, 0, 0, 0},
		{studio.HandedOver, 0, 0, 0, 0},
		{studio.Labelled, 8_00, 8_00, 2_67, 5_33},
		{studio.HandedOver, 8_00, 8_00, 2_67, 5_33},
	} {
		p.State, p.Paid = c.state, bed.USD(c.paid)
		if whole, first, second := p.Postage(), p.PostageOf("S-1"), p.PostageOf("S-2"); whole != bed.USD(c.whole) || first != bed.USD(c.first) || second != bed.USD(c.second) {
			t.Errorf("%s, paid %d: of %s they bear %s and %s", c.state, c.paid, whole, first, second)
		}
	}
}

// The slip of either lists both, the label names both once, the wrap sheet has all prints.
func TestPapersOfASharedParcel(t *testing.T) {
	b := combining(t)
	first, second := b.Ready(b.Heron.ID), b.Ready(b.Card.ID)
	sheets, err := paperwork.WrapPapers(b.Ctx, b.Studio, second.ID)
	b.Must(err)
	if len(sheets) != 1 || sheets[0].Mark != first.Mark+" and "+second.Mark {
		t.Errorf("planned: %d wrap sheets, %+v", len(sheets), sheets)
	}
	parcels, err := dispatch.Pack(b.Ctx, b.Studio, dispatch.PackIn{Order: first.ID})
	b.Must(err)
	for _, c := range []struct {
		own, other studio.OrderView
	}{{first, second}, {second, first}} {
		slip, err := paperwork.SlipPaper(b.Ctx, b.Studio, c.own.ID)
		b.Must(err)
		if slip.Mark != c.own.Mark || len(slip.Lines) != 1 || len(slip.With) != 1 || slip.With[0].Mark != c.other.Mark || len(slip.With[0].Lines) != 1 {
			t.Errorf("the slip of %s: %+v", c.own.Mark, slip)
		}
	}
	label, err := paperwork.LabelPaper(b.Ctx, b.Studio, parcels[0].ID)
	b.Must(err)
	if label.Mark != first.Mark || label.Part != "with "+second.Mark {
		t.Errorf("the label says %q, %q", label.Mark, label.Part)
	}
	if parcels[0].Plan.Value != first.Lines[0].Price.Minor+second.Lines[0].Price.Minor {
		t.Errorf("the parcel's value is %d", parcels[0].Plan.Value)
	}
}

// Another name, street or recipient is another parcel; spaces and capitals are not.
func TestOnlyTheSameBuyerAndAddressShare(t *testing.T) {
	for name, c := range map[string]struct {
		change func(in *book.Sale)
		share  bool
	}{
		"nothing":             {func(*book.Sale) {}, true},
		"capitals, spaces":    {func(in *book.Sale) { in.ShipTo.Line1, in.ShipTo.City = "12  REED lane", "ROANOKE" }, true},
		"another outlet":      {func(in *book.Sale) { in.Outlet, in.Ref = 2, "M-1" }, true},
		"another e-mail":      {func(in *book.Sale) { in.Buyer.Email = "quill@example.org" }, true},
		"another buyer":       {func(in *book.Sale) { in.Buyer.Name = "Ada Quilling" }, false},
		"another recipient":   {func(in *book.Sale) { in.ShipTo.Name = "Tom Quill" }, false},
		"another street":      {func(in *book.Sale) { in.ShipTo.Line1 = "12 Reed Ln" }, false},
		"another second line": {func(in *book.Sale) { in.ShipTo.Line2 = "flat 2" }, false},
	} {
		t.Run(name, func(t *testing.T) {
			b := combining(t)
			first := b.Ready(b.Heron.ID)
			in := b.Sale()
			c.change(&in)
			v := b.Take(in)
			b.Must(book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: v.ID, Amount: v.Owed}))
			b.Must(register.Sign(b.Ctx, b.Studio, bed.LineIDs(v)))
			if got := len(b.Plan(first.ID).Plan.Orders) == 2; got != c.share {
				t.Errorf("they share a parcel: %v", got)
			}
			b.Sound()
		})
	}
}

// An order that may not leave yet does not wait in the parcel of another, nor holds it up.
func TestOnlyReadyOrdersShare(t *testing.T) {
	b := combining(t)
	first, unsigned := b.Ready(b.Heron.ID), b.Paid(b.Heron.ID)
	if n := len(b.Plan(first.ID).Plan.Orders); n != 1 {
		t.Errorf("%d orders are planned together, one is not signed", n)
	}
	_, err := dispatch.Pack(b.Ctx, b.Studio, dispatch.PackIn{Order: first.ID})
	b.Must(err)
	if v := b.Order(unsigned.ID); len(v.Parcels) != 0 {
		t.Errorf("%s is packed", v.Mark)
	}
}

// Cancelling one order unpacks the parcel, and the other is told and can be packed again; the address of a shared parcel
// is not changed for one alone.
func TestOneOfASharedParcelIsCancelled(t *testing.T) {
	b := combining(t)
	first, second := b.Ready(b.Heron.ID), b.Ready(b.Card.ID)
	_, err := dispatch.Pack(b.Ctx, b.Studio, dispatch.PackIn{Order: first.ID})
	b.Must(err)
	away := bed.Home()
	away.Line1 = "14 Reed Lane"
	_, err = book.Amend(b.Ctx, b.Studio, book.AmendIn{Order: second.ID, ShipTo: &away})
	b.Refused(err, fault.Refused, "ship_to", "packed together")
	b.Must(book.Cancel(b.Ctx, b.Studio, book.CancelIn{Order: first.ID, Reason: "she changed her mind"}))
	v := b.Order(second.ID)
	if len(v.Parcels) != 0 || v.Stage != order.AwaitsPacking || !strings.Contains(v.Marks[0].Text, "unpacked, since "+first.Mark) {
		t.Errorf("%s is %s with %d parcels, last told %q", v.Mark, v.Stage, len(v.Parcels), v.Marks[0].Text)
	}
	_, err = dispatch.Pack(b.Ctx, b.Studio, dispatch.PackIn{Order: second.ID})
	b.Must(err)
	b.Sound()
}

// A print of a shared parcel that comes back concerns its own order alone.
func TestOneOfASharedParcelComesBack(t *testing.T) {
	b := combining(t)
	first, second := b.Ready(b.Heron.ID), b.Ready(b.Card.ID)
	parcels, err := dispatch.Pack(b.Ctx, b.Studio, dispatch.PackIn{Order: first.ID})
	b.Must(err)
	b.Must(labelling.Label(b.Ctx, b.Studio, labelling.LabelIn{Parcel: parcels[0].ID, Paid: bed.USD(5_00)}))
	_, err = dispatch.HandOver(b.Ctx, b.Studio, dispatch.HandOverIn{})
	b.Must(err)
	b.Must(book.TakeBack(b.Ctx, b.Studio, book.TakeBackIn{Order: second.ID, Reason: "bent"}))
	if a, z := b.Order(first.ID), b.Order(second.ID); a.State != order.Closed || z.State != order.Returned {
		t.Errorf("%s is %s, %s is %s", a.Mark, a.State, z.Mark, z.State)
	}
	b.Sound()
}

// With one envelope left, two orders of Ada share it, and a third buyer's order gets another: the plans of the day
// take no more than there is, counting a shared parcel once.
func TestSharedParcelsAndScarcePackaging(t *testing.T) {
	b := combining(t)
	first, second := b.Ready(b.Heron.ID), b.Ready(b.Card.ID)
	in := b.Sale()
	in.Buyer.Name, in.ShipTo.Name = "Ben Otter", "Ben Otter"
	v := b.Take(in)
	b.Must(book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: v.ID, Amount: v.Owed}))
	b.Must(register.Sign(b.Ctx, b.Studio, bed.LineIDs(v)))
	for _, u := range b.Plan(first.ID).Plan.StockUsed {
		b.Scarce(u.Count, u.Item)
	}
	used := map[string]int{}
	for _, id := range []int64{first.ID, v.ID} { // the second is in the first's parcel, or in its own
		for _, u := range b.Plan(id).Plan.StockUsed {
			used[u.Item] += u.Count
		}
	}
	p := b.Plan(second.ID)
	if len(p.Plan.Orders) == 1 {
		for _, u := range p.Plan.StockUsed {
			used[u.Item] += u.Count
		}
	}
	for key, n := range used {
		if n > b.Shelf()[key].Stock {
			t.Errorf("the plans of the day take %d of %s, there are %d", n, key, b.Shelf()[key].Stock)
		}
	}
	more, err := suppose.AskOneMore(b.Ctx, b.Studio, calendar.Day{}, nil)
	b.Must(err)
	if more.Orders != 3 || more.Total.Minor != b.DayTotal() {
		t.Errorf("one more says %d orders for %s, the plans cost %d", more.Orders, more.Total, b.DayTotal())
	}
	list, err := daybench.List(b.Ctx, b.Studio, calendar.Day{})
	b.Must(err)
	if n := len(list.Groups[bench.PackOrders]); n != 3 {
		t.Errorf("%d orders are to be packed", n)
	}
}
