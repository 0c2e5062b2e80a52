package web

import (
	"bytes"
	"fmt"
	"image/color"
	"strings"
	"testing"

	"solander/claim"
	"solander/claims"
	"solander/edition"
	"solander/order"
	"solander/studio"
)

// sentParcel is a parcel that was handed over, and its order; 0 = none was.
func (s *site) sentParcel() (parcel, of int64) {
	s.t.Helper()
	s.must(s.studio.Store.Read(s.ctx(), func(tx studio.Tx) error {
		all, err := tx.HandOvers(1)
		if err != nil || len(all) == 0 {
			return err
		}
		_, parcels, err := tx.HandOver(all[0].ID)
		if err == nil {
			parcel, of = parcels[0].ID, parcels[0].Order
		}
		return err
	}))
	return parcel, of
}

// claimed tells that the parcel that was handed over came damaged, with a photo, and returns the address of the claim. Once, and not where nothing
// was handed over.
func (s *site) claimed() string {
	s.t.Helper()
	const at = "/claims/1"
	if s.get(at).status == 200 {
		return at
	}
	parcel, _ := s.sentParcel()
	if parcel == 0 {
		return at
	}
	c, err := claims.Open(s.ctx(), s.studio, claims.OpenIn{Parcel: parcel, Kind: claim.Damaged, Note: "the corner is crushed"})
	s.must(err)
	_, err = claims.Photo(s.ctx(), s.studio, c.ID, aPicture(s.t, 90, 60, color.Gray{90}), "The corner is crushed")
	s.must(err)
	return at
}

// From the page of an order to the operator's payment and a replacement; each deed is a form of the page, and what it refuses is said at its field.
func TestClaimFromPageToPage(t *testing.T) {
	t.Parallel()
	s := furnished(t)
	parcel, of := s.sentParcel()
	tell := fmt.Sprintf("/parcels/%d/claim", parcel)
	s.get(fmt.Sprintf("/orders/%d", of)).has("a[href='"+tell+"']", "Something went wrong with this parcel")
	s.sendForm(s.get(tell), "form[action='"+tell+"']", "kind", "wet").is(422)
	page := s.submit(s.get(tell), "form[action='"+tell+"']", "kind", "damaged", "note", "the corner is crushed")
	page.has("h1", "damaged")
	page.has("dd", "the corner is crushed")
	s.get("/claims").has("a[href='/claims/1']", "Claim 1: damaged")
	s.get("/").has("#claims", "Claim 1")
	s.get(fmt.Sprintf("/orders/%d", of)).has("a[href='/claims/1']", "Claim 1: damaged, not filed yet")
	s.get(tell).has("a[href='/claims/1']", "claim 1")

	s.sendFile("/claims/1/photos", "file", "corner.svg", []byte("<svg/>")).is(422)
	s.leads(s.sendFile("/claims/1/photos", "file", "corner.png", aPicture(t, 90, 60, color.Gray{90}), "alt", "The corner is crushed"), "/claims/1?said=claim-photo#photos")
	photo := s.get("/claims/1/photos/1").is(200)
	if photo.header.Get("Content-Type") != "image/jpeg" || !bytes.HasPrefix(photo.body, []byte{0xff, 0xd8}) {
		t.Errorf("%s", photo.header.Get("Content-Type"))
	}
	s.get("/claims/2/photos/1").is(404)
	s.get("/claims/9").is(404)
	s.post("/claims/1/burn").is(404)

	form := func(deed string) string { return "form[action='/claims/1/" + deed + "']" }
	s.sendForm(s.get("/claims/1"), form("file"), "amount", "9999").is(409)
	s.sendForm(s.get("/claims/1"), form("file"), "amount", "-3").is(422)
	s.submit(s.get("/claims/1"), form("file"), "amount", "50", "reference", "C-77").has("dd", "C-77")
	s.sendForm(s.get("/claims/1"), form("answer"), "granted", "60").is(422)
	s.submit(s.get("/claims/1"), form("answer"), "granted", "40").has("dd", "40.00 USD granted")
	s.submit(s.get("/claims/1"), form("take-back")).has(".under", "Filed, no answer yet")
	s.submit(s.get("/claims/1"), form("answer"), "granted", "40")
	s.submit(s.get("/claims/1"), form("paid"), "amount", "40").has("dd", "40.00 USD")
	s.sendForm(s.get("/claims/1"), form("replace"), "reason", "").is(422)
	s.submit(s.get("/claims/1"), form("replace"), "reason", "crushed on the way").has("#buyer", "still in the house")
	s.get(fmt.Sprintf("/orders/%d/earned", of)).has("a[href='/claims/1']", "claim 1")
	s.get("/").has("#claims", "replacement to make")
	s.must(s.studio.Store.Read(s.ctx(), func(tx studio.Tx) error {
		o, err := tx.Order(of)
		if err != nil {
			return err
		}
		l := o.Live()[0]
		st, err := tx.Standing(l.Edition, l.Number)
		if o.State != order.Open || st.State != edition.Promised || st.Struck != 1 {
			t.Errorf("the order is %s, its number %+v", o.State, st)
		}
		return err
	}))
	s.submit(s.get("/claims/1"), form("close")).has(".under", "Closed")
	again := s.get("/claims/1")
	for _, deed := range []string{"file", "answer", "paid", "replace", "refund", "close", "note", "photos"} {
		if len(again.find(form(deed))) != 0 {
			t.Errorf("a closed claim offers %s", deed)
		}
	}
	again.has(form("take-back"), "Take back")
	s.get("/claims?all=1").has("a[href='/claims/1']", "Claim 1")
	if body := string(s.get("/claims").body); strings.Contains(body, "Claim 1:") {
		t.Error("a closed claim is listed as open")
	}
}
