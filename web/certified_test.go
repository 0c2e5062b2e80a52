package web

import (
	"strings"
	"testing"

	"solander/certify"
	"solander/edition"
	"solander/register"
)

// certified signs a number of the first edition and certifies it, and returns the address of its certificate. Once.
func (s *site) certified() string {
	s.t.Helper()
	const paper = "/certificates/1.pdf"
	if s.get(paper).status == 200 {
		return paper
	}
	lacking, err := certify.Lacking(s.ctx(), s.studio, 1)
	s.must(err)
	if len(lacking) == 0 {
		lacking = []edition.Number{{Kind: edition.Numbered, N: 200}}
		s.must(register.SignAhead(s.ctx(), s.studio, 1, lacking))
	}
	_, err = certify.Make(s.ctx(), s.studio, certify.MakeIn{Edition: 1, Numbers: lacking[:1]})
	s.must(err)
	return paper
}

// A certificate is made by the form, checked by its text, told of with it in hand, and revoked.
func TestCertificatesByForms(t *testing.T) {
	t.Parallel()
	s := furnished(t)
	s.certified()
	page := s.get("/editions/1/certificates")
	page.has("#made td", "holds")
	page.has("#make button", "Make")
	page.has("#made button", "Revoke")
	p, err := certify.Read(s.ctx(), s.studio, 1)
	s.must(err)
	s.post("/certificates/check", "code", p.File()).has("#answer strong", "holds")
	bad := s.post("/certificates/check", "code", strings.Replace(p.File(), "Edition:", "Edition ", 1))
	bad.has("#answer .late", "changed")
	bad.hasNot("#answer strong")
	s.leads(s.post("/certificates/tell", "code", p.Code, "told", "resale", "name", "Oren Kessler"), "/editions/1/numbers/").has("#chain td", "resale")
	s.post("/certificates/told/1/forget").is(303)
	s.get("/editions/1/numbers/"+p.Number.String()).has("#chain td", "forgotten")
	s.leads(s.post("/editions/1/certificates/revoke", "serial", "1", "reason", "torn"), "/editions/1/certificates").has("#made .late", "revoked")
	if again := s.post("/editions/1/certificates/revoke", "serial", "1", "reason", "torn"); again.status == 303 {
		t.Error("it is revoked twice")
	}
}
