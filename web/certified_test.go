package web

import (
	"strings"
	"testing"

	"solander/certify"
	"solander/disclosure"
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

// The bench says which facts a buyer is to be told, leads to them, and to where what was signed today is certified.
func TestBenchLeadsToFactsAndCertificates(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	fields := replaced(replaced(replaced(saleFields(), "ship_to.region", "CA"), "ship_to.city", "Fogbank"), "ship_to.postcode", "94110")
	s.leads(s.post("/orders", replaced(fields, "lines[0].price", "99.99")...), "/orders/S-1001")
	s.leads(s.post("/orders", replaced(replaced(fields, "lines[0].price", "100.00"), "lines[0].number", "18")...), "/orders/S-1002")
	bench := s.get("/").is(200)
	bench.one(".task a[href=/editions/1/facts]") // of that from 100 dollars on
	bench.has(".task a[href=/editions/1/facts]", "tell ")
	bench.has(".task a[href=/editions/1/facts]", "(California), of S-1002")
	bench = s.submit(s.submit(bench, "#money form"), "#money form") // both are paid
	bench.hasNot("a[href=/editions/1/certificates]")
	bench = s.submit(bench, "#sign form", "lines", attr(bench.find("#sign input[type=checkbox]")[0], "value"))
	bench.has("#sign a[href=/editions/1/certificates]", "1 signed today")
	bench = s.submit(bench, "#sign form", "lines", attr(bench.one("#sign input[type=checkbox]"), "value"))
	bench.has("#pack a[href=/editions/1/certificates]", "2 signed today")
	bench.has("#pack .task a[href=/editions/1/facts]", "(California)")
}

// What is untold holds a parcel on the bench, at the hand-over and on its order, each with the way to where it is told; let go with a reason it may be handed
// over, and the order then says what its buyer was not told until it is said.
func TestUntoldIsHeldAndThenLeftToTell(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	fields := replaced(replaced(replaced(saleFields(), "ship_to.region", "NY"), "ship_to.city", "Eastlantern"), "ship_to.postcode", "11215")
	s.leads(s.post("/orders", replaced(fields, "lines[0].price", "100.01")...), "/orders/S-1001")
	page := s.submit(s.get("/orders/S-1001"), ".next form")
	page = s.submit(s.submit(page, ".next form"), ".next form")
	page = s.submit(page, ".next form", "paid", "5.35")
	page.has(".lacks li", "facts to tell: ")
	page.has(".next", "Before it goes its buyer is told what the rules of New York ask for")
	page.has(".next a[href=/editions/1/facts]", "Tell ")
	page.hasNot(".next button")
	page.has("form[action=/orders/1/override] .hint", "it lets pass: facts to tell: ")
	hold := s.get("/hand-over").is(200)
	hold.has(".what", "Held: facts to tell: ")
	hold.one(".what a[href=/editions/1/facts]")
	hold.hasNot("input[name=parcels]")
	s.get("/").has("#hand-over .task", "Held: facts to tell: ")
	s.post("/hand-over", "day", "", "note", "", "parcels", "1").is(409).has("main", "facts to tell: ")
	s.leads(s.post("/orders/1/override", "reason", "her facts are posted after it"), "/orders/S-1001").has("#h-left", "Its buyer was not told")
	page = s.submit(s.get("/orders/S-1001"), ".next form")
	page.has(".over", "S-1001")
	page.has(".caution", "her facts are posted after it")
	page.has("section.lacks li", "facts to tell: ")
	sayAllFacts(s, 1)
	s.get("/orders/S-1001").hasNot("#h-left")
}

// sayAllFacts says of every fact of an edition that it is not known.
func sayAllFacts(s *site, ed int64) {
	s.t.Helper()
	_, err := certify.Say(s.ctx(), s.studio, ed, func(w *certify.Words) error {
		for _, a := range disclosure.Asked() {
			(*w)[a.Fact] = disclosure.UnknownWords
		}
		return nil
	})
	s.must(err)
}

// Of an open edition the page says why there are none, and gives the statement of authenticity.
func TestOpenEditionsHaveAStatement(t *testing.T) {
	t.Parallel()
	s := furnished(t)
	page := s.get("/editions/3/certificates").is(200)
	page.has("#make", "one certificate could be shown with any number of prints")
	page.hasNot("form[action=/editions/3/certificates]")
	page.one("a[href=/editions/3/statement.pdf]")
	s.post("/editions/3/certificates", "numbers", "").is(409).has("main", "An open edition has no numbers")
	s.get("/editions/1/statement.pdf").is(409)
}

// A certificate is made by the form, checked by its text, told of with it in hand, and revoked.
func TestCertificatesByForms(t *testing.T) {
	t.Parallel()
	s := furnished(t)
	s.get("/editions/2/certificates").has("#make", "No number of it is signed yet")
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
	number := s.leads(s.post("/certificates/told/1/forget"), "/editions/1/numbers/")
	number.has("#chain td", "forgotten")
	number.has(".said", "Who told it is forgotten")
	s.leads(s.post("/editions/1/certificates/revoke", "serial", "1", "reason", "torn"), "/editions/1/certificates").has("#made .late", "revoked")
	if again := s.post("/editions/1/certificates/revoke", "serial", "1", "reason", "torn"); again.status == 303 {
		t.Error("it is revoked twice")
	}
}
