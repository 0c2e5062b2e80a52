package certify_test

import (
	"strings"
	"testing"

	"solander/certificate"
	"solander/certify"
	"solander/dispatch"
	"solander/fault"
	"solander/internal/bed"
	"solander/order"
	"solander/privacy"
	"solander/register"
	"solander/studio"
)

// sent is a bed in which number 1 was sold, signed, certified and handed over; with the file of its certificate.
func sent(t *testing.T) (*bed.Bed, studio.OrderView, string) {
	t.Helper()
	b := bed.New(t)
	in := b.Sale()
	in.ShipTo, in.InPerson, in.Postage, in.Paid = order.Address{}, true, bed.USD(0), b.Heron.Price
	v := b.Take(in)
	b.Must(register.Sign(b.Ctx, b.Studio, bed.LineIDs(v)))
	made(b, v.Lines[0].Number.N)
	b.Must(dispatch.HandIn(b.Ctx, b.Studio, dispatch.HandInIn{Order: v.ID}))
	p, err := certify.Read(b.Ctx, b.Studio, 1)
	b.Must(err)
	return b, b.Order(v.ID), p.File()
}

func TestTellAndForget(t *testing.T) {
	b, v, file := sent(t)
	n := v.Lines[0].Number
	for field, bad := range map[string]certify.TellIn{
		"code": {Told: certificate.Lost}, "told": {Code: file, Told: "gift"}, "name": {Code: file, Told: certificate.Resold, Name: strings.Repeat("x", 121)},
		"note": {Code: file, Told: certificate.Resold, Note: "a\x00"},
	} {
		_, err := certify.Tell(b.Ctx, b.Studio, bad)
		b.Refused(err, fault.Invalid, field, "")
	}
	_, err := certify.Tell(b.Ctx, b.Studio, certify.TellIn{Code: file[:len(file)-40], Told: certificate.Lost})
	b.Refused(err, fault.Refused, "code", "does not hold")
	x, err := certify.Tell(b.Ctx, b.Studio, certify.TellIn{Code: file, Told: certificate.Resold, Name: "Oren Kessler", Note: "at a fair"})
	b.Must(err)
	o, known := x.Owner()
	if !known || o.Name != "Oren Kessler" || o.Commitment() != x.Kept || strings.Contains(x.Kept, "Oren") {
		t.Errorf("%+v, %+v", x, o)
	}
	_, err = certify.Tell(b.Ctx, b.Studio, certify.TellIn{Code: file, Told: certificate.Stolen})
	b.Must(err)
	p, err := certify.ProvenanceOf(b.Ctx, b.Studio, b.Heron.ID, n)
	b.Must(err)
	if !p.Missing || p.Has() != "" || len(p.Links) != 4 {
		t.Errorf("%+v", p)
	}
	_, err = certify.Tell(b.Ctx, b.Studio, certify.TellIn{Code: file, Told: certificate.Found, Name: "Oren Kessler"})
	b.Must(err)
	if p, err = certify.ProvenanceOf(b.Ctx, b.Studio, b.Heron.ID, n); err != nil || p.Missing || p.Has() != "Oren Kessler" {
		t.Errorf("%+v, %v", p, err)
	}
	stays, err := certify.Forget(b.Ctx, b.Studio, x.ID)
	if b.Must(err); stays.Edition != b.Heron.ID || stays.Number != n {
		t.Errorf("%+v stays", stays)
	}
	if p, err = certify.ProvenanceOf(b.Ctx, b.Studio, b.Heron.ID, n); err != nil || !p.Links[2].Gone || p.Links[2].Name != "" {
		t.Errorf("%+v, %v", p, err)
	}
	_, err = certify.Forget(b.Ctx, b.Studio, 99)
	b.Refused(err, fault.Missing, "", "")
	b.Sound()
	proven(b, file)
}

// proven holds that certificate and log hold, whatever was erased.
func proven(b *bed.Bed, file string) {
	v, err := certify.Check(b.Ctx, b.Studio, file)
	b.Must(err)
	if v.Word != certificate.Holds {
		b.Errorf("the certificate is %s", v.Word)
	}
	var found []string
	b.Must(b.Store.Read(b.Ctx, func(tx studio.Tx) (err error) {
		found, err = tx.VerifyLog()
		return err
	}))
	if len(found) != 0 {
		b.Errorf("the log: %v", found)
	}
}

// A buyer who told that she sold it on is erased: her name is nowhere any more, and every proof is whole.
func TestErasingKeepsEveryProof(t *testing.T) {
	b, v, file := sent(t)
	const name = "Ada Quill"
	_, err := certify.Tell(b.Ctx, b.Studio, certify.TellIn{Code: file, Told: certificate.Resold, Name: "Oren Kessler", Note: "bought from " + name})
	b.Must(err)
	tr, err := privacy.Try(b.Ctx, b.Studio, v.Buyer)
	b.Must(err)
	_, err = privacy.Erase(b.Ctx, b.Studio, privacy.EraseIn{Buyer: v.Buyer, Seen: tr.Seen, Early: true})
	b.Must(err)
	p, err := certify.ProvenanceOf(b.Ctx, b.Studio, b.Heron.ID, v.Lines[0].Number)
	b.Must(err)
	for _, l := range p.Links {
		if strings.Contains(l.Name+l.Note, name) {
			t.Errorf("she is still named: %+v", l)
		}
	}
	if last := p.Links[len(p.Links)-1]; !last.Gone {
		t.Errorf("the salt of what names her is still there: %+v", last)
	}
	proven(b, file)
}
