package labelling_test

import (
	"strings"
	"testing"

	"solander/fault"
	"solander/internal/bed"
	"solander/labelling"
	"solander/studio"
)

func TestScan(t *testing.T) {
	b := bed.New(t)
	first, parcels := b.Packed(b.Heron.ID)
	b.Packed(b.Heron.ID)
	b.Ready(b.Heron.ID)

	_, err := labelling.ScanMark(b.Ctx, b.Studio, "S-9999")
	b.Refused(err, fault.Missing, "code", "no order has the mark")
	_, err = labelling.ScanMark(b.Ctx, b.Studio, "S-1001/x")
	b.Refused(err, fault.Invalid, "code", "no mark")
	_, err = labelling.ScanMark(b.Ctx, b.Studio, "S-1001/2")
	b.Refused(err, fault.Refused, "code", "no parcel 2")
	_, err = labelling.ScanMark(b.Ctx, b.Studio, "S-1003")
	b.Refused(err, fault.Refused, "code", "no packed parcel")

	card, err := labelling.ScanMark(b.Ctx, b.Studio, "\x1ds-1001\r") // control signs that scanners send are no part of it
	b.Must(err)
	if card.Parcel.ID != parcels[0].ID || card.Key != "S-1001" || card.Left != 1 || card.Buyer != "Ada Quill" || len(card.Prints) != 1 || card.Service != "Test ground" {
		t.Errorf("%+v", card)
	}

	b.Refused(labelling.ScanTracking(b.Ctx, b.Studio, card.Parcel.ID, "s-1002", nil), fault.Refused, "tracking", "mark of an order")
	b.Refused(labelling.ScanTracking(b.Ctx, b.Studio, card.Parcel.ID, " ", nil), fault.Invalid, "tracking", "missing")
	paid := bed.USD(6_25)
	b.Must(labelling.ScanTracking(b.Ctx, b.Studio, card.Parcel.ID, bed.S10, &paid))
	p := b.Order(first.ID).Parcels[0]
	if p.State != studio.Labelled || p.Tracking != bed.S10 || p.Paid != paid || p.Service != "ground" {
		t.Errorf("%+v", p)
	}
	_, err = labelling.ScanMark(b.Ctx, b.Studio, "S-1001")
	b.Refused(err, fault.Refused, "code", bed.S10)
	_, err = labelling.ScanMark(b.Ctx, b.Studio, bed.S10)
	b.Refused(err, fault.Taken, "code", "S-1001 already")

	// A number in use is told; a wrong check digit, and a routing ZIP of another place, are told and kept.
	card, err = labelling.ScanMark(b.Ctx, b.Studio, "S-1002")
	b.Must(err)
	b.Refused(labelling.ScanTracking(b.Ctx, b.Studio, card.Parcel.ID, bed.S10, nil), fault.Taken, "tracking", "S-1001")
	const label = "420900019400111899223100000208" // to ZIP 90001; the check digit is another
	b.Must(labelling.ScanTracking(b.Ctx, b.Studio, card.Parcel.ID, label, nil))
	done, err := labelling.Scanned(b.Ctx, b.Studio, card.Parcel.ID)
	b.Must(err)
	told := strings.Join(done.Doubts, "\n")
	if done.Parcel.Tracking != label || !strings.Contains(told, "ZIP 90001") || done.Left != 0 {
		t.Errorf("%+v", done)
	}
	b.Sound()
}
