package bed

import (
	"solander/dispatch"
	"solander/edition"
	"solander/order"
	"solander/register"
	"solander/stockroom"
	"solander/studio"
)

// Ready takes, pays and signs an order of prints.
func (b *Bed) Ready(eds ...int64) studio.OrderView {
	b.Helper()
	v := b.Paid(eds...)
	b.Must(register.Sign(b.Ctx, b.Studio, LineIDs(v)))
	return b.Order(v.ID)
}

// Packed packs it too.
func (b *Bed) Packed(eds ...int64) (studio.OrderView, []studio.Parcel) {
	b.Helper()
	v := b.Ready(eds...)
	parcels, err := dispatch.Pack(b.Ctx, b.Studio, dispatch.PackIn{Order: v.ID})
	b.Must(err)
	return b.Order(v.ID), parcels
}

func (b *Bed) Shelf() map[string]studio.ShelfItem {
	b.Helper()
	items, err := stockroom.Shelf(b.Ctx, b.Studio)
	b.Must(err)
	out := map[string]studio.ShelfItem{}
	for _, it := range items {
		out[it.Spec.ID] = it
	}
	return out
}

// A UPU S10 number with a right check digit: the worked example of the standard is RB 47312482 → 9
// (weights 8 6 4 2 3 5 9 7; sum 200; 11 − 200 mod 11 = 9).
const S10 = "RB473124829US"

// Gone checks what a hand-over of one heron leaves behind.
func (b *Bed) Gone(id int64, h studio.HandOver) {
	b.Helper()
	v := b.Order(id)
	if v.State != order.Closed || v.Closed != h.Day || v.Stage != order.Done || !v.Lines[0].Sent || v.Parcels[0].State != studio.HandedOver || h.Parcels != 1 {
		b.Errorf("after hand-over: %s on %s, sent %v, parcel %s of %d", v.State, v.Closed, v.Lines[0].Sent, v.Parcels[0].State, h.Parcels)
	}
	if st := b.State(b.Heron.ID, 1); st.State != edition.Sent {
		b.Errorf("the number is %s", st.State)
	}
	if n := b.SheetsOf(b.Heron.ID); n != 3 {
		b.Errorf("%d sheets, want 3", n)
	}
	for _, item := range []string{"sleeve-11.25x14.25", "envelope-12x15", "envelope-13x17"} {
		if n := b.Shelf()[item].Stock; n != 49 {
			b.Errorf("%d of %s, want 49", n, item)
		}
	}
	detail, parcels, orders, err := dispatch.HandOverDetail(b.Ctx, b.Studio, h.ID)
	b.Must(err)
	if detail.ID != h.ID || len(parcels) != 1 || len(orders) != 1 || orders[0].ID != id {
		b.Errorf("detail %+v with %d parcels of %d orders", detail, len(parcels), len(orders))
	}
}

// Back checks that undoing it put everything back.
func (b *Bed) Back(id int64) {
	b.Helper()
	v := b.Order(id)
	if v.State != order.Open || !v.Closed.IsZero() || v.Stage != order.AwaitsHandOver || v.Lines[0].Sent || v.Parcels[0].State != studio.Labelled {
		b.Errorf("after undoing: %s, stage %s, parcel %s", v.State, v.Stage, v.Parcels[0].State)
	}
	if st := b.State(b.Heron.ID, 1); st.State != edition.Signed || b.SheetsOf(b.Heron.ID) != 4 || b.Shelf()["envelope-12x15"].Stock != 50 {
		b.Errorf("number %s, %d sheets, %d envelopes", st.State, b.SheetsOf(b.Heron.ID), b.Shelf()["envelope-12x15"].Stock)
	}
	if all, err := dispatch.HandOvers(b.Ctx, b.Studio); err != nil || len(all) != 0 {
		b.Errorf("%d hand-overs are left (%v)", len(all), err)
	}
	b.Sound()
}
