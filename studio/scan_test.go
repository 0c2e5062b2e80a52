package studio_test

import (
	"strings"
	"testing"

	"solander/fault"
	"solander/studio"
)

func TestScan(t *testing.T) {
	b := newBed(t)
	first, parcels := b.packed(b.heron.ID)
	b.packed(b.heron.ID)
	b.ready(b.heron.ID)

	_, err := b.ScanMark(b.ctx, "S-9999")
	b.refused(err, fault.Missing, "code", "no order has the mark")
	_, err = b.ScanMark(b.ctx, "S-1001/x")
	b.refused(err, fault.Invalid, "code", "no mark")
	_, err = b.ScanMark(b.ctx, "S-1001/2")
	b.refused(err, fault.Refused, "code", "no parcel 2")
	_, err = b.ScanMark(b.ctx, "S-1003")
	b.refused(err, fault.Refused, "code", "no packed parcel")

	card, err := b.ScanMark(b.ctx, "\x1ds-1001\r") // control signs that scanners send are no part of it
	b.must(err)
	if card.Parcel.ID != parcels[0].ID || card.Key != "S-1001" || card.Left != 1 || card.Buyer != "Ada Quill" || len(card.Prints) != 1 || card.Service != "Test ground" {
		t.Errorf("%+v", card)
	}

	b.refused(b.ScanTracking(b.ctx, card.Parcel.ID, "s-1002", nil), fault.Refused, "tracking", "mark of an order")
	b.refused(b.ScanTracking(b.ctx, card.Parcel.ID, " ", nil), fault.Invalid, "tracking", "missing")
	paid := usd(6_25)
	b.must(b.ScanTracking(b.ctx, card.Parcel.ID, s10, &paid))
	p := b.order(first.ID).Parcels[0]
	if p.State != studio.Labelled || p.Tracking != s10 || p.Paid != paid || p.Service != "ground" {
		t.Errorf("%+v", p)
	}
	_, err = b.ScanMark(b.ctx, "S-1001")
	b.refused(err, fault.Refused, "code", s10)
	_, err = b.ScanMark(b.ctx, s10)
	b.refused(err, fault.Taken, "code", "S-1001 already")

	// A number in use is told; a wrong check digit, and a routing ZIP of another place, are told and kept.
	card, err = b.ScanMark(b.ctx, "S-1002")
	b.must(err)
	b.refused(b.ScanTracking(b.ctx, card.Parcel.ID, s10, nil), fault.Taken, "tracking", "S-1001")
	const label = "420900019400111899223100000208" // to ZIP 90001; the check digit is another
	b.must(b.ScanTracking(b.ctx, card.Parcel.ID, label, nil))
	done, err := b.Scanned(b.ctx, card.Parcel.ID)
	b.must(err)
	told := strings.Join(done.Doubts, "\n")
	if done.Parcel.Tracking != label || !strings.Contains(told, "ZIP 90001") || done.Left != 0 {
		t.Errorf("%+v", done)
	}
	b.sound()
}
