package studio_test

import (
	"slices"
	"strings"
	"testing"

	"solander/bench"
	"solander/calendar"
	"solander/fault"
	"solander/order"
	"solander/packing"
	"solander/packing/check"
	"solander/studio"
)

// combining is a bed at which orders of one buyer to one address may share parcels.
func combining(t *testing.T) *bed {
	t.Helper()
	b := newBed(t)
	b.combine(true)
	return b
}

func (b *bed) combine(on bool) {
	b.Helper()
	b.changeSettings(func(set *studio.Settings) { set.Combine = on })
}

func (b *bed) plan(id int64) studio.PlanView {
	b.Helper()
	v, err := b.Plan(b.ctx, id, calendar.Day{})
	b.must(err)
	b.must(check.Plan(v.Problem, v.Plan))
	return v
}

// Two orders of Ada go in one parcel: both are planned so, the bench tells it once, and packing, labelling and handing
// over one does it to both; what that costs is shared out, and undoing takes all of it back.
func TestOrdersOfOneBuyerGoTogether(t *testing.T) {
	b := newBed(t)
	first, second := b.ready(b.heron.ID), b.ready(b.card.ID, b.card.ID)
	apart := b.plan(first.ID).Plan.Total + b.plan(second.ID).Plan.Total
	if n := len(b.plan(first.ID).Plan.Orders); n != 1 {
		t.Fatalf("%d orders are planned together without leave", n)
	}
	b.combine(true)
	p, q := b.plan(first.ID), b.plan(second.ID)
	if len(p.Plan.Parcels) != 1 || p.Plan.Total != q.Plan.Total || p.Plan.Total >= apart || len(p.Plan.Parcels[0].Orders) != 2 {
		t.Fatalf("planned in %d parcels for %d and %d, apart %d", len(p.Plan.Parcels), p.Plan.Total, q.Plan.Total, apart)
	}
	b.toldOnce(first.Mark, second.Mark)

	parcels, err := b.Pack(b.ctx, studio.PackIn{Order: second.ID, Total: &q.Plan.Total})
	b.must(err)
	if len(parcels) != 1 || parcels[0].Order != first.ID || len(parcels[0].Lines) != 3 || !slices.Equal(parcels[0].Orders, []int64{first.ID, second.ID}) {
		t.Fatalf("packed %+v", parcels)
	}
	b.must(b.Label(b.ctx, studio.LabelIn{Parcel: parcels[0].ID, Paid: usd(10_00), Tracking: "RR123456785US"}))
	first, second = b.order(first.ID), b.order(second.ID)
	if first.Stage != order.AwaitsHandOver || second.Stage != order.AwaitsHandOver {
		t.Errorf("stages %s and %s", first.Stage, second.Stage)
	}
	// One print of three is 3.33⅓ of 10.00, two are 6.66⅔: the cent left goes to the larger remainder.
	if first.Sending.Postage != usd(3_33) || second.Sending.Postage != usd(6_67) {
		t.Errorf("of 10.00 they bear %s and %s", first.Sending.Postage, second.Sending.Postage)
	}
	found, err := b.Find(b.ctx, "RR123456785US")
	b.must(err)
	if len(found.Orders) != 2 {
		t.Errorf("%d orders are found by the tracking number", len(found.Orders))
	}
	b.sound()
	b.handedOverTogether(first.ID, second.ID)
	b.must(b.Undo(b.ctx, b.latest(studio.MarkLabelled).ID))
	b.must(b.Undo(b.ctx, b.latest(studio.MarkPacked).ID))
	for _, id := range []int64{first.ID, second.ID} {
		if v := b.order(id); len(v.Parcels) != 0 || v.Stage != order.AwaitsPacking {
			t.Errorf("%s is %s with %d parcels after all was undone", v.Mark, v.Stage, len(v.Parcels))
		}
	}
	b.sound()
}

// toldOnce looks that the bench tells how to pack under the first, and names each under the other.
func (b *bed) toldOnce(first, second string) {
	b.Helper()
	tasks := b.packTasks()
	a, z := tasks[first], tasks[second]
	if !slices.Equal(a.With, []string{second}) || !slices.Equal(z.With, []string{first}) || a.Service == "" || z.Service != "" || !slices.Contains(z.Detail, "how it is packed is told under "+first) {
		b.Errorf("the bench says %+v and %+v", a, z)
	}
	if !strings.Contains(strings.Join(a.Detail, "\n"), "Éclat") {
		b.Errorf("the bench does not name the other order's prints: %q", a.Detail)
	}
}

// What was paid counts from the label on, be it nothing; until then, what the card says.
func TestPostageCountsAsPaidFromTheLabelOn(t *testing.T) {
	p := studio.Parcel{Estimated: usd(10_00), Plan: packing.Parcel{Contents: []packing.Content{{Order: "S-1", Copies: 1}, {Order: "S-2", Copies: 2}}}}
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
		p.State, p.Paid = c.state, usd(c.paid)
		if whole, first, second := p.Postage(), p.PostageOf("S-1"), p.PostageOf("S-2"); whole != usd(c.whole) || first != usd(c.first) || second != usd(c.second) {
			t.Errorf("%s, paid %d: of %s they bear %s and %s", c.state, c.paid, whole, first, second)
		}
	}
}

// handedOverTogether hands over what is labelled, looks at both orders and takes it back.
func (b *bed) handedOverTogether(ids ...int64) {
	b.Helper()
	h, err := b.HandOver(b.ctx, studio.HandOverIn{})
	b.must(err)
	_, parcels, orders, err := b.HandOverDetail(b.ctx, h.ID)
	b.must(err)
	list, err := b.HandOverPaper(b.ctx, h.ID)
	b.must(err)
	if h.Parcels != 1 || len(parcels) != 1 || len(orders) != 2 || len(list.Rows) != 1 || list.Rows[0].Mark != "S-1001 and S-1002" {
		b.Errorf("hand-over of %d parcels, %d orders; the list says %+v", len(parcels), len(orders), list.Rows)
	}
	for _, id := range ids {
		v := b.order(id)
		for _, l := range v.Live() {
			if v.State != order.Closed || !l.Sent {
				b.Errorf("%s is %s, line %d sent: %v", v.Mark, v.State, l.ID, l.Sent)
			}
		}
	}
	b.sound()
	b.must(b.Undo(b.ctx, b.latest(studio.MarkHandedOver).ID))
	for _, id := range ids {
		if v := b.order(id); v.State != order.Open {
			b.Errorf("%s is %s after the hand-over was taken back", v.Mark, v.State)
		}
	}
	b.sound()
}

// The slip of either lists both, the label names both once, the wrap sheet has all prints.
func TestPapersOfASharedParcel(t *testing.T) {
	b := combining(t)
	first, second := b.ready(b.heron.ID), b.ready(b.card.ID)
	sheets, err := b.WrapPapers(b.ctx, second.ID)
	b.must(err)
	if len(sheets) != 1 || sheets[0].Mark != first.Mark+" and "+second.Mark {
		t.Errorf("planned: %d wrap sheets, %+v", len(sheets), sheets)
	}
	parcels, err := b.Pack(b.ctx, studio.PackIn{Order: first.ID})
	b.must(err)
	for _, c := range []struct {
		own, other studio.OrderView
	}{{first, second}, {second, first}} {
		slip, err := b.SlipPaper(b.ctx, c.own.ID)
		b.must(err)
		if slip.Mark != c.own.Mark || len(slip.Lines) != 1 || len(slip.With) != 1 || slip.With[0].Mark != c.other.Mark || len(slip.With[0].Lines) != 1 {
			t.Errorf("the slip of %s: %+v", c.own.Mark, slip)
		}
	}
	label, err := b.LabelPaper(b.ctx, parcels[0].ID)
	b.must(err)
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
		change func(in *studio.Sale)
		share  bool
	}{
		"nothing":             {func(*studio.Sale) {}, true},
		"capitals, spaces":    {func(in *studio.Sale) { in.ShipTo.Line1, in.ShipTo.City = "12  REED lane", "ROANOKE" }, true},
		"another outlet":      {func(in *studio.Sale) { in.Outlet, in.Ref = 2, "M-1" }, true},
		"another e-mail":      {func(in *studio.Sale) { in.Buyer.Email = "quill@example.org" }, true},
		"another buyer":       {func(in *studio.Sale) { in.Buyer.Name = "Ada Quilling" }, false},
		"another recipient":   {func(in *studio.Sale) { in.ShipTo.Name = "Tom Quill" }, false},
		"another street":      {func(in *studio.Sale) { in.ShipTo.Line1 = "12 Reed Ln" }, false},
		"another second line": {func(in *studio.Sale) { in.ShipTo.Line2 = "flat 2" }, false},
	} {
		t.Run(name, func(t *testing.T) {
			b := combining(t)
			first := b.ready(b.heron.ID)
			in := b.sale()
			c.change(&in)
			v := b.take(in)
			b.must(b.Pay(b.ctx, studio.PaymentIn{Order: v.ID, Amount: v.Owed}))
			b.must(b.Sign(b.ctx, lineIDs(v)))
			if got := len(b.plan(first.ID).Plan.Orders) == 2; got != c.share {
				t.Errorf("they share a parcel: %v", got)
			}
			b.sound()
		})
	}
}

// An order that may not leave yet does not wait in the parcel of another, nor holds it up.
func TestOnlyReadyOrdersShare(t *testing.T) {
	b := combining(t)
	first, unsigned := b.ready(b.heron.ID), b.paid(b.heron.ID)
	if n := len(b.plan(first.ID).Plan.Orders); n != 1 {
		t.Errorf("%d orders are planned together, one is not signed", n)
	}
	_, err := b.Pack(b.ctx, studio.PackIn{Order: first.ID})
	b.must(err)
	if v := b.order(unsigned.ID); len(v.Parcels) != 0 {
		t.Errorf("%s is packed", v.Mark)
	}
}

// Cancelling one order unpacks the parcel, and the other is told and can be packed again; the address of a shared parcel
// is not changed for one alone.
func TestOneOfASharedParcelIsCancelled(t *testing.T) {
	b := combining(t)
	first, second := b.ready(b.heron.ID), b.ready(b.card.ID)
	_, err := b.Pack(b.ctx, studio.PackIn{Order: first.ID})
	b.must(err)
	away := home()
	away.Line1 = "14 Reed Lane"
	_, err = b.Amend(b.ctx, studio.AmendIn{Order: second.ID, ShipTo: &away})
	b.refused(err, fault.Refused, "ship_to", "packed together")
	b.must(b.Cancel(b.ctx, studio.CancelIn{Order: first.ID, Reason: "she changed her mind"}))
	v := b.order(second.ID)
	if len(v.Parcels) != 0 || v.Stage != order.AwaitsPacking || !strings.Contains(v.Marks[0].Text, "unpacked, since "+first.Mark) {
		t.Errorf("%s is %s with %d parcels, last told %q", v.Mark, v.Stage, len(v.Parcels), v.Marks[0].Text)
	}
	_, err = b.Pack(b.ctx, studio.PackIn{Order: second.ID})
	b.must(err)
	b.sound()
}

// A print of a shared parcel that comes back concerns its own order alone.
func TestOneOfASharedParcelComesBack(t *testing.T) {
	b := combining(t)
	first, second := b.ready(b.heron.ID), b.ready(b.card.ID)
	parcels, err := b.Pack(b.ctx, studio.PackIn{Order: first.ID})
	b.must(err)
	b.must(b.Label(b.ctx, studio.LabelIn{Parcel: parcels[0].ID, Paid: usd(5_00)}))
	_, err = b.HandOver(b.ctx, studio.HandOverIn{})
	b.must(err)
	b.must(b.TakeBack(b.ctx, studio.TakeBackIn{Order: second.ID, Reason: "bent"}))
	if a, z := b.order(first.ID), b.order(second.ID); a.State != order.Closed || z.State != order.Returned {
		t.Errorf("%s is %s, %s is %s", a.Mark, a.State, z.Mark, z.State)
	}
	b.sound()
}

// With one envelope left, two orders of Ada share it, and a third buyer's order gets another: the plans of the day
// take no more than there is, counting a shared parcel once.
func TestSharedParcelsAndScarcePackaging(t *testing.T) {
	b := combining(t)
	first, second := b.ready(b.heron.ID), b.ready(b.card.ID)
	in := b.sale()
	in.Buyer.Name, in.ShipTo.Name = "Ben Otter", "Ben Otter"
	v := b.take(in)
	b.must(b.Pay(b.ctx, studio.PaymentIn{Order: v.ID, Amount: v.Owed}))
	b.must(b.Sign(b.ctx, lineIDs(v)))
	for _, u := range b.plan(first.ID).Plan.StockUsed {
		b.scarce(u.Count, u.Item)
	}
	used := map[string]int{}
	for _, id := range []int64{first.ID, v.ID} { // the second is in the first's parcel, or in its own
		for _, u := range b.plan(id).Plan.StockUsed {
			used[u.Item] += u.Count
		}
	}
	p := b.plan(second.ID)
	if len(p.Plan.Orders) == 1 {
		for _, u := range p.Plan.StockUsed {
			used[u.Item] += u.Count
		}
	}
	for key, n := range used {
		if n > b.shelf()[key].Stock {
			t.Errorf("the plans of the day take %d of %s, there are %d", n, key, b.shelf()[key].Stock)
		}
	}
	more, err := b.OneMore(b.ctx, calendar.Day{}, nil)
	b.must(err)
	if more.Orders != 3 || more.Total.Minor != b.dayTotal() {
		t.Errorf("one more says %d orders for %s, the plans cost %d", more.Orders, more.Total, b.dayTotal())
	}
	list, err := b.Bench(b.ctx, calendar.Day{})
	b.must(err)
	if n := len(list.Groups[bench.PackOrders]); n != 3 {
		t.Errorf("%d orders are to be packed", n)
	}
}

// dayTotal adds up the plans of all open orders, each shared one once.
func (b *bed) dayTotal() int64 {
	b.Helper()
	sum, seen := int64(0), map[string]bool{}
	for id := int64(1); id <= 3; id++ {
		v := b.plan(id)
		if v.Plan.Held > 0 || seen[v.Plan.Orders[0].ID] {
			continue
		}
		for _, o := range v.Plan.Orders {
			seen[o.ID] = true
		}
		sum += v.Plan.Total
	}
	return sum
}
